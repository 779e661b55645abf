// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The dense systems of the ground room: residuals, what cannot be solved, and several at once.
#include "base/random.h"
#include "ground/dense.h"
#include "harness.h"

#include <math.h>
#include <omp.h>
#include <string.h>

enum { MOST = 200 };

typedef struct {
    double a[MOST * MOST], b[MOST], kept[MOST * MOST];
} dense_room;

// Diffusion-like when symmetric: e^(−distance), diagonal one more; otherwise random with zeros on
// the diagonal, which needs pivots.
static gw_dense fill(dense_room *room, size_t n, bool symmetric)
{
    gw_random random;
    gw_random_init(&random, 7 + n);
    for (size_t c = 0; c < n; ++c) {
        for (size_t r = 0; r < n; ++r) {
            const double far = fabs((double)r - (double)c);
            room->a[c * n + r] = symmetric ? exp(-0.1 * far) + (r == c ? 1.0 : 0.0)
                                 : r == c  ? 0.0
                                           : gw_random_normal(&random);
        }
        room->b[c] = 1.0 + (double)(c % 3);
    }
    memcpy(room->kept, room->a, n * n * sizeof(double));
    return (gw_dense){room->a, room->b, n};
}

static double worst_residual(const dense_room *room, size_t n)
{
    double worst = 0.0;
    for (size_t r = 0; r < n; ++r) {
        double sum = -1.0 - (double)(r % 3);
        for (size_t c = 0; c < n; ++c) {
            sum += room->kept[c * n + r] * room->b[c];
        }
        worst = fmax(worst, fabs(sum));
    }
    return worst;
}

START_TEST(residual_is_rounding_around_the_tile_size)
{
    static const size_t sizes[] = {2, 3, 63, 64, 65, 128, 200};
    dense_room *const room = malloc(sizeof *room);
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; ++i) {
        gw_dense system = fill(room, sizes[i], true);
        ck_assert(gw_dense_cholesky(&system));
        ck_assert(worst_residual(room, sizes[i]) < 1e-12);
        system = fill(room, sizes[i], false);
        ck_assert(gw_dense_eliminate(&system));
        ck_assert_msg(worst_residual(room, sizes[i]) < 1e-9, "%zu: %g", sizes[i],
                      worst_residual(room, sizes[i]));
    }
    free(room);
}
END_TEST

START_TEST(says_when_there_is_no_solution)
{
    dense_room *const room = malloc(sizeof *room);
    gw_dense system = fill(room, 80, true);
    system.a[70 * 80 + 70] = -1.0;
    ck_assert(!gw_dense_cholesky(&system));
    ck_assert(room->b[0] == 1.0 && room->b[79] == 2.0);
    system = fill(room, 80, false);
    memset(system.a + 66 * 80, 0, 80 * sizeof(double));
    ck_assert(!gw_dense_eliminate(&system));
    system = fill(room, 80, true);
    system.a[0] = nan("");
    ck_assert(!gw_dense_cholesky(&system));
    free(room);
}
END_TEST

START_TEST(many_threads_at_once_get_the_same_bits)
{
    enum { TEAM = 8 };
    dense_room *const room = malloc(TEAM * sizeof *room);
    int solved = 0;
#pragma omp parallel for num_threads(TEAM) reduction(+ : solved)
    for (int i = 0; i < TEAM; ++i) {
        const gw_dense system = fill(&room[i], MOST, true);
        solved += gw_dense_cholesky(&system) ? 1 : 0;
    }
    ck_assert_int_eq(solved, TEAM);
    for (int i = 1; i < TEAM; ++i) {
        ck_assert(memcmp(room[i].b, room[0].b, sizeof room[0].b) == 0);
    }
    free(room);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("ground dense systems");
    TCase *const all = tcase_create("all");
    tcase_add_test(all, residual_is_rounding_around_the_tile_size);
    tcase_add_test(all, says_when_there_is_no_solution);
    tcase_add_test(all, many_threads_at_once_get_the_same_bits);
    suite_add_tcase(suite, all);
    return harness_run(suite);
}
