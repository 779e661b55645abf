// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Reproducible random numbers: xoshiro256** seeded by splitmix64 (Blackman & Vigna 2021,
// "Scrambled linear pseudorandom number generators", ACM TOMS 47(4):36).
// The state is the caller's; the same seed gives the same numbers everywhere.
#ifndef GW_RANDOM_H
#define GW_RANDOM_H

#include <stdint.h>

typedef struct {
    uint64_t s[4];
    double spare_normal;  // second deviate of the polar pair
    int has_spare;
} gw_random;

void gw_random_init(gw_random *random, uint64_t seed);
uint64_t gw_random_bits(gw_random *random);
double gw_random_uniform(gw_random *random);  // [0, 1), 53 bits
double gw_random_normal(gw_random *random);   // mean 0, variance 1 (Marsaglia's polar method)

#endif
