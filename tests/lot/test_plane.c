// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Lengths, areas, inside or outside and gaps, against what a pencil gives.
#include "lots.h"

START_TEST(area_and_length_of_a_right_triangle)
{
    begin();
    const gw_lot_path ring = PATH(0, 0, 3, 0, 0, 4, 0, 0);
    ck_close(gw_lot_ring_area_m2(&ring), 6, 1e-15);
    ck_close(gw_lot_path_length_m(&ring), 12, 1e-15);
    const gw_lot_path clockwise = PATH(0, 0, 0, 4, 3, 0, 0, 0);
    ck_close(gw_lot_ring_area_m2(&clockwise), -6, 1e-15);
    // Far from the origin, as survey coordinates are, no digit is lost.
    const gw_lot_path far = PATH(5e5, 5e6, 5e5 + 3, 5e6, 5e5, 5e6 + 4, 5e5, 5e6);
    ck_close(gw_lot_ring_area_m2(&far), 6, 1e-15);
    end();
}
END_TEST

START_TEST(edge_counts_as_inside)
{
    begin();
    const gw_lot_path ring = PATH(0, 0, 10, 0, 10, 10, 5, 5, 0, 10, 0, 0);
    const struct {
        double x, y;
        bool inside;
    } cases[] = {{5, 2, true},     {5, 5, true},    {5, 6, false},   {0, 0, true},
                 {10, 3, true},    {-1, 0, false},  {11, 10, false}, {2, 10, false},
                 {7.5, 7.5, true}, {7.5, 8, false}, {-1, 10, false}, {-1, 5, false},
                 {5, 0, true},     {0, 10, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const gw_lot_point p = {cases[i].x, cases[i].y};
        ck_assert_msg(gw_lot_ring_contains(&ring, p) == cases[i].inside, "(%g, %g)", p.x_m, p.y_m);
    }
    end();
}
END_TEST

START_TEST(hole_is_outside_and_its_edge_inside)
{
    begin();
    const gw_lot_path hole = PATH(2, 2, 2, 4, 4, 4, 4, 2, 2, 2);
    const gw_lot_polygon polygon = {box_path(0, 0, 10, 10), &hole, 1, 96};
    const gw_lot_region region = {&polygon, 1, 96};
    ck_assert(!gw_lot_region_contains(&region, (gw_lot_point){3, 3}));
    ck_assert(gw_lot_region_contains(&region, (gw_lot_point){2, 3}));
    ck_assert(gw_lot_region_contains(&region, (gw_lot_point){5, 3}));
    ck_assert(!gw_lot_region_contains(&region, (gw_lot_point){10.1, 3}));
    const gw_lot_point near = gw_lot_nearest_on_region(&region, (gw_lot_point){3.2, 3});
    ck_close(near.x_m, 4, 1e-15);
    ck_close(near.y_m, 3, 1e-15);
    end();
}
END_TEST

START_TEST(gap_between_disc_and_box_is_edge_to_edge)
{
    begin();
    const gw_lot_geometry house = box_shape(0, 0, 10, 8);
    gw_lot_gap gap;
    gw_lot_geometry bore = disc(13, 12, 0.5); // 3-4-5 triangle to the corner
    gw_lot_measure_gap(&bore, &house, &gap);
    ck_close(gap.gap_m, 4.5, 1e-14);
    ck_close(gap.on_b.x_m, 10, 1e-15);
    ck_close(gap.on_b.y_m, 8, 1e-15);
    ck_close(gap.on_a.x_m, 13 - 0.3, 1e-14);
    ck_close(gap.on_a.y_m, 12 - 0.4, 1e-14);
    bore = disc(15, 4, 0.5); // to the wall
    gw_lot_measure_gap(&bore, &house, &gap);
    ck_close(gap.gap_m, 4.5, 1e-14);
    bore = disc(8, 4, 0.5); // inside, 2 m from the wall
    gw_lot_measure_gap(&bore, &house, &gap);
    ck_close(gap.gap_m, -2.5, 1e-14);
    end();
}
END_TEST

START_TEST(gap_is_the_same_from_either_side)
{
    begin();
    const gw_lot_geometry a = line(0, 0, 10, 0, 0.3);
    const gw_lot_geometry b = line(4, 7, 12, 3, 0.2);
    gw_lot_gap ab;
    gw_lot_gap ba;
    gw_lot_measure_gap(&a, &b, &ab);
    gw_lot_measure_gap(&b, &a, &ba);
    ck_close(ab.gap_m, ba.gap_m, 1e-14);
    // Nearest: the end (10, 0) to the line through (4, 7) and (12, 3): |2·6 … |, by hand
    // direction (2, -1)/√5; distance |6·1 + (-7)·2| / √5 = 8/√5.
    ck_close(ab.gap_m, 8 / sqrt(5) - 0.5, 1e-14);
    ck_close(gw_lot_distance_m(ab.on_a, ab.on_b), ab.gap_m, 1e-14);
    end();
}
END_TEST

START_TEST(line_through_a_box_overlaps_though_both_ends_lie_outside)
{
    begin();
    const gw_lot_geometry drive = box_shape(4, -5, 8, 5);
    const gw_lot_geometry trench = line(0, 0, 12, 0, 0);
    gw_lot_gap gap;
    gw_lot_measure_gap(&trench, &drive, &gap);
    ck_close(gap.gap_m, -2, 1e-14); // middle of the 4 m inside, 2 m from either side
    ck_close(gap.on_a.x_m, 6, 1e-14);
    const gw_lot_geometry along = line(8, -9, 8, 9, 0); // only touches
    gw_lot_measure_gap(&along, &drive, &gap);
    ck_assert_double_eq_tol(gap.gap_m, 0, 1e-12);
    end();
}
END_TEST

START_TEST(inside_gap_turns_negative_beyond_the_ring)
{
    begin();
    const gw_lot_path ring = PATH(0, 0, 20, 0, 20, 20, 10, 20, 10, 10, 0, 10, 0, 0);
    gw_lot_gap gap;
    gw_lot_geometry bore = disc(15, 3, 0.1);
    gw_lot_measure_inside_gap(&bore, &ring, &gap);
    ck_close(gap.gap_m, 2.9, 1e-14);
    bore = disc(22, 5, 0.1);
    gw_lot_measure_inside_gap(&bore, &ring, &gap);
    ck_close(gap.gap_m, -2.1, 1e-14);
    // Over the notch: both ends inside, the middle of the piece outside is 2√2/… by hand:
    // the line from (2, 9) to (12, 19) leaves at (3, 10) and comes back at (10, 17);
    // its middle (6.5, 13.5) is 3.5 m from both sides of the notch.
    const gw_lot_geometry trench = line(2, 9, 12, 19, 0);
    gw_lot_measure_inside_gap(&trench, &ring, &gap);
    ck_close(gap.gap_m, -3.5, 1e-13);
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("plane");
    TCase *const cases = tcase_create("plane");
    tcase_add_test(cases, area_and_length_of_a_right_triangle);
    tcase_add_test(cases, edge_counts_as_inside);
    tcase_add_test(cases, hole_is_outside_and_its_edge_inside);
    tcase_add_test(cases, gap_between_disc_and_box_is_edge_to_edge);
    tcase_add_test(cases, gap_is_the_same_from_either_side);
    tcase_add_test(cases, line_through_a_box_overlaps_though_both_ends_lie_outside);
    tcase_add_test(cases, inside_gap_turns_negative_beyond_the_ring);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
