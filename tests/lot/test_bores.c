// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Bores spread over ground, against known best spreads and hand counts.
#include "lots.h"

#include "lot/bores.h"

static gw_lot_bores place(const gw_lot_region *ground, gw_lot_bore_request ask)
{
    gw_lot_bores bores;
    ck_assert_msg(gw_lot_place_bores(arena, ground, &ask, &bores, &err) == GW_OK, "%s", err.text);
    for (size_t i = 0; i < bores.count; i++) {
        ck_assert(gw_lot_region_contains(ground, bores.at[i]));
    }
    return bores;
}

START_TEST(spread_in_a_square_is_within_three_per_cent_of_the_best_known)
{
    begin();
    // Largest least distance of n points in the unit square: Schaer and Meir 1965, Schaer 1965 and
    // later proofs for n = 10 (table from memory; 2 to 5, 9 by hand: diagonal, √6 - √2, 1, √2/2,
    // 1/2).
    const double best[] = {0,        0,        1.414214, 1.035276, 1.000000, 0.707107,
                           0.600925, 0.535898, 0.517638, 0.500000, 0.421280};
    const gw_lot_region square = ground_of(box_path(0, 0, 100, 100));
    for (size_t n = 2; n <= 10; n++) {
        const gw_lot_bores bores = place(&square, (gw_lot_bore_request){.count = n});
        ck_assert(bores.fits);
        ck_assert_uint_eq(bores.count, n);
        ck_assert_msg(bores.spacing_m >= 97 * best[n] && bores.spacing_m <= 100.0001 * best[n],
                      "%zu points: %g of %g", n, bores.spacing_m, 100 * best[n]);
    }
    end();
}
END_TEST

START_TEST(four_bores_go_to_the_corners_of_a_rectangle)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(10, 20, 40, 35));
    const gw_lot_bores bores = place(&ground, (gw_lot_bore_request){.count = 4});
    ck_assert_double_ge(bores.spacing_m, 15 - 1e-5);
    // 30 × 15 m: two more stand at the middles of the long sides, still 15 m apart.
    const gw_lot_bores six = place(&ground, (gw_lot_bore_request){.count = 6});
    ck_close(six.spacing_m, 15, 1e-3);
    end();
}
END_TEST

START_TEST(turned_and_shifted_ground_gives_the_same_spacing)
{
    begin();
    const gw_lot_path ring = PATH(0, 0, 30, 0, 30, 12, 18, 12, 18, 25, 0, 25, 0, 0);
    const gw_lot_region ground = ground_of(ring);
    const gw_lot_bores first = place(&ground, (gw_lot_bore_request){.count = 7});
    for (int k = 1; k < 7; k++) {
        const gw_lot_region turned = ground_of(turn_path(&ring, 0.9 * k, 200.0 * k, 5000));
        const gw_lot_bores bores = place(&turned, (gw_lot_bore_request){.count = 7});
        ck_close(bores.spacing_m, first.spacing_m, 2e-3);
    }
    end();
}
END_TEST

START_TEST(same_question_gives_the_same_answer_to_the_last_bit)
{
    begin();
    const gw_lot_region ground = ground_of(PATH(0, 0, 30, 3, 25, 20, 5, 25, 0, 0));
    const gw_lot_bores a = place(&ground, (gw_lot_bore_request){.count = 9});
    const gw_lot_bores b = place(&ground, (gw_lot_bore_request){.count = 9});
    ck_assert_int_eq(memcmp(a.at, b.at, 9 * sizeof *a.at), 0);
    end();
}
END_TEST

START_TEST(wanted_spacing_keeps_bores_near_the_house)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 80, 60));
    const gw_lot_point house = {40, 0};
    const gw_lot_bores bores = place(
        &ground, (gw_lot_bore_request){
                     .count = 6, .least_spacing_m = 5, .wanted_spacing_m = 6, .near = &house});
    ck_assert(bores.fits);
    ck_assert_double_ge(bores.spacing_m, 6 - 1e-6);
    for (size_t i = 0; i < bores.count; i++) {
        ck_assert_double_le(gw_lot_distance_m(bores.at[i], house), 13);
    }
    end();
}
END_TEST

START_TEST(wanted_spacing_that_does_not_fit_falls_back_to_the_widest)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 14, 7));
    // Six stand exactly 7 m apart; 9 m do not fit, 6 m are the least.
    const gw_lot_bores bores = place(
        &ground, (gw_lot_bore_request){.count = 6, .least_spacing_m = 6, .wanted_spacing_m = 9});
    ck_assert(bores.fits);
    ck_close(bores.spacing_m, 7, 1e-3);
    end();
}
END_TEST

START_TEST(small_lot_says_how_many_fit)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 15, 10));
    // 5 m apart in rows: 4 × 3; staggered rows of 4 and 3, 4.33 m apart, hold no more.
    const gw_lot_bores bores =
        place(&ground, (gw_lot_bore_request){.count = 30, .least_spacing_m = 5});
    ck_assert(!bores.fits);
    ck_assert_uint_eq(bores.count, 12);
    ck_assert_double_ge(bores.spacing_m, 5 - 1e-6);
    ck_assert_str_eq(bores.text, "12 of 30 bores fit at least 5.00 m apart");
    end();
}
END_TEST

START_TEST(no_ground_is_a_result)
{
    begin();
    const gw_lot_region none = {0};
    const gw_lot_bores bores = place(&none, (gw_lot_bore_request){.count = 3});
    ck_assert(!bores.fits);
    ck_assert_uint_eq(bores.count, 0);
    ck_assert(strstr(bores.text, "no usable ground") != NULL);
    end();
}
END_TEST

START_TEST(bores_placed_by_hand_are_kept_clear_of)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 10, 10));
    const gw_lot_point hand[] = {{0, 0}, {10, 10}};
    const gw_lot_bores bores =
        place(&ground, (gw_lot_bore_request){.count = 2, .fixed = hand, .fixed_count = 2});
    ck_close(bores.spacing_m, 10, 1e-6); // the other two corners
    const gw_lot_bores one = place(
        &ground,
        (gw_lot_bore_request){.count = 1, .least_spacing_m = 11, .fixed = hand, .fixed_count = 2});
    ck_assert(!one.fits);
    ck_assert_uint_eq(one.count, 0);
    end();
}
END_TEST

START_TEST(lone_bore_stands_nearest_to_the_house)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 20, 10));
    const gw_lot_point house = {25, 10};
    const gw_lot_bores bores = place(&ground, (gw_lot_bore_request){.count = 1, .near = &house});
    ck_assert_double_le(gw_lot_distance_m(bores.at[0], (gw_lot_point){20, 10}), 0.01);
    ck_assert_double_eq(bores.spacing_m, 0);
    ck_assert(bores.fits);
    end();
}
END_TEST

START_TEST(bad_requests_are_refused_by_field)
{
    begin();
    const gw_lot_region ground = ground_of(box_path(0, 0, 20, 10));
    const gw_lot_point nowhere = {NOT_A_NUMBER, 0};
    const struct {
        gw_lot_bore_request ask;
        const char *field;
    } bad[] = {
        {{.count = 0}, "bores.count"},
        {{.count = 501}, "bores.count"},
        {{.count = 3, .least_spacing_m = -1}, "bores.least_spacing_m"},
        {{.count = 3, .least_spacing_m = NOT_A_NUMBER}, "bores.least_spacing_m"},
        {{.count = 3, .least_spacing_m = 5, .wanted_spacing_m = 4}, "bores.wanted_spacing_m"},
        {{.count = 3, .wanted_spacing_m = NOT_A_NUMBER}, "bores.wanted_spacing_m"},
        {{.count = 3, .near = &nowhere}, "bores.near"},
        {{.count = 3, .fixed = &nowhere, .fixed_count = 1}, "bores.fixed"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        gw_lot_bores bores;
        ck_assert_int_eq(gw_lot_place_bores(arena, &ground, &bad[i].ask, &bores, &err),
                         GW_ERR_RANGE);
        ck_assert_str_eq(err.field, bad[i].field);
    }
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("bores");
    TCase *const cases = tcase_create("bores");
    tcase_set_timeout(cases, 60);
    tcase_add_test(cases, spread_in_a_square_is_within_three_per_cent_of_the_best_known);
    tcase_add_test(cases, four_bores_go_to_the_corners_of_a_rectangle);
    tcase_add_test(cases, turned_and_shifted_ground_gives_the_same_spacing);
    tcase_add_test(cases, same_question_gives_the_same_answer_to_the_last_bit);
    tcase_add_test(cases, wanted_spacing_keeps_bores_near_the_house);
    tcase_add_test(cases, wanted_spacing_that_does_not_fit_falls_back_to_the_widest);
    tcase_add_test(cases, small_lot_says_how_many_fit);
    tcase_add_test(cases, no_ground_is_a_result);
    tcase_add_test(cases, bores_placed_by_hand_are_kept_clear_of);
    tcase_add_test(cases, lone_bore_stands_nearest_to_the_house);
    tcase_add_test(cases, bad_requests_are_refused_by_field);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
