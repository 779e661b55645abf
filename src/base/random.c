// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/random.h"

#include <math.h>

static uint64_t rotate_left(uint64_t x, int k)
{
    return (x << k) | (x >> (64 - k));
}

static uint64_t splitmix64(uint64_t *state)
{
    *state += UINT64_C(0x9e3779b97f4a7c15);
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

void gw_random_init(gw_random *random, uint64_t seed)
{
    *random = (gw_random){0};
    for (int i = 0; i < 4; i++) {
        random->s[i] = splitmix64(&seed);
    }
}

uint64_t gw_random_bits(gw_random *random)
{
    uint64_t *const s = random->s;
    const uint64_t result = rotate_left(s[1] * 5, 7) * 9;
    const uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate_left(s[3], 45);
    return result;
}

double gw_random_uniform(gw_random *random)
{
    return (double)(gw_random_bits(random) >> 11) * 0x1.0p-53;
}

double gw_random_normal(gw_random *random)
{
    if (random->has_spare) {
        random->has_spare = 0;
        return random->spare_normal;
    }
    double u = 0.0;
    double v = 0.0;
    double r = 0.0;
    do {
        u = 2.0 * gw_random_uniform(random) - 1.0;
        v = 2.0 * gw_random_uniform(random) - 1.0;
        r = u * u + v * v;
    } while (r >= 1.0 || r == 0.0);
    const double scale = sqrt(-2.0 * log(r) / r);
    random->spare_normal = v * scale;
    random->has_spare = 1;
    return u * scale;
}
