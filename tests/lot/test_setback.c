// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Which rule applies, and that the shipped table says what its sources say.
#include "lots.h"

static gw_lot_feature thing(gw_lot_kind kind)
{
    return (gw_lot_feature){.id = "x", .kind = kind, .geometry = disc(0, 0, 0.1)};
}

// Distance by rule, or -1. kind PROPERTY_LINE asks for the boundary.
static double ask(const gw_lot_ruleset *set, gw_lot_feature feature, gw_lot_loop loop,
                  gw_lot_origin *origin)
{
    gw_lot_setback setback;
    const gw_lot_feature *const at = feature.kind == GW_LOT_PROPERTY_LINE ? NULL : &feature;
    if (!gw_lot_find_setback(set, at, loop, &setback)) {
        return -1;
    }
    if (origin != NULL) {
        *origin = setback.origin;
    }
    return setback.distance_m;
}

START_TEST(shipped_rows_give_the_published_feet)
{
    begin();
    const gw_lot_rules rules = shipped();
    // Sources as in data/setbacks.csv; feet as published, 1 ft = 0.3048 m.
    const struct {
        const char *jurisdiction;
        gw_lot_kind kind;
        const char *variant;
        gw_lot_loop loop;
        double feet;
    } rows[] = {
        {"us-me", GW_LOT_SEPTIC_FIELD, NULL, GW_LOT_BORE, 50}, // Maine 10-144 ch. 232 section 6
        {"us-me", GW_LOT_SEPTIC_FIELD, "large", GW_LOT_BORE, 100},
        {"us-me", GW_LOT_SEPTIC_TANK, NULL, GW_LOT_TRENCH, 30},
        {"us-me", GW_LOT_WELL, NULL, GW_LOT_BORE, 45},
        {"us-me", GW_LOT_WELL, "public_50gpm", GW_LOT_BORE, 125},
        {"us-me", GW_LOT_WELL, "public_over_50gpm", GW_LOT_BORE, 200},
        {"us-me", GW_LOT_PROPERTY_LINE, NULL, GW_LOT_BORE, 10},
        {"us-tx", GW_LOT_SEWER_LINE, NULL, GW_LOT_TRENCH, 10}, // 16 TAC 6.106
        {"us-tx", GW_LOT_SEPTIC_FIELD, NULL, GW_LOT_BORE, 25},
        {"us-pa-hanover", GW_LOT_WELL, NULL, GW_LOT_TRENCH, 100}, // Hanover Township code
        {"us-pa-hanover", GW_LOT_SEPTIC_RESERVE, NULL, GW_LOT_BORE, 25},
        {"us-pa-hanover", GW_LOT_HOUSE, NULL, GW_LOT_BORE, 25},
        {"us-oh-middleburg", GW_LOT_WATER_LINE, NULL, GW_LOT_BORE, 15}, // Middleburg Heights code
        {"us-oh-middleburg", GW_LOT_DRAIN, NULL, GW_LOT_BORE, 10},
        {"us-nc", GW_LOT_SEPTIC_FIELD, NULL, GW_LOT_BORE, 50}, // North Carolina 2011
        {"us-nc", GW_LOT_HOUSE, NULL, GW_LOT_BORE, 15},
        {"us-wa", GW_LOT_WELL, NULL, GW_LOT_BORE, 100},    // WAC 173-160-453
        {"us-mn", GW_LOT_GAS_LINE, NULL, GW_LOT_BORE, 10}, // Minnesota Rules 4725.2150
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const gw_lot_ruleset set = {.shipped = &rules, .jurisdiction = rows[i].jurisdiction};
        gw_lot_feature feature = thing(rows[i].kind);
        feature.variant = rows[i].variant;
        gw_lot_origin origin;
        ck_close(ask(&set, feature, rows[i].loop, &origin), rows[i].feet * 0.3048, 1e-12);
        ck_assert_int_eq(origin, GW_LOT_LOCAL_RULE);
    }
    end();
}
END_TEST

START_TEST(every_row_has_a_source_and_every_typical_row_says_check_your_bylaw)
{
    begin();
    const gw_lot_rules rules = shipped();
    ck_assert_uint_gt(rules.count, 60);
    for (size_t i = 0; i < rules.count; i++) {
        ck_assert_uint_gt(strlen(rules.items[i].source), 5);
        if (strcmp(rules.items[i].jurisdiction, "typical") == 0) {
            ck_assert_msg(strstr(rules.items[i].note, "check your bylaw") != NULL, "row %zu", i);
        }
    }
    end();
}
END_TEST

START_TEST(typical_rules_stand_in_where_a_jurisdiction_is_silent)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset maine = {.shipped = &rules, .jurisdiction = "us-me"};
    const gw_lot_ruleset none = {.shipped = &rules};
    gw_lot_origin origin;
    const double typical_m = ask(&none, thing(GW_LOT_GAS_LINE), GW_LOT_BORE, &origin);
    ck_assert_int_eq(origin, GW_LOT_TYPICAL_RULE);
    ck_close(ask(&maine, thing(GW_LOT_GAS_LINE), GW_LOT_BORE, &origin), typical_m, 1e-15);
    ck_assert_int_eq(origin, GW_LOT_TYPICAL_RULE);
    // A header may cross a gas line: no rule at all.
    ck_assert(ask(&none, thing(GW_LOT_GAS_LINE), GW_LOT_HEADER, NULL) < 0);
    // Zero is a rule: touch, not overlap.
    ck_assert_double_eq(ask(&none, thing(GW_LOT_HOUSE), GW_LOT_HEADER, NULL), 0);
    end();
}
END_TEST

START_TEST(typical_set_covers_every_kind_for_bores_and_trenches_but_rock_for_bores)
{
    begin();
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset set = {.shipped = &rules};
    for (int k = 0; k < GW_LOT_KIND_COUNT; k++) {
        const gw_lot_feature feature = thing((gw_lot_kind)k);
        const bool rock = k == GW_LOT_ROCK_OUTCROP; // rock is drilled, not dug
        ck_assert_msg((ask(&set, feature, GW_LOT_BORE, NULL) >= 0) != rock, "%s",
                      gw_lot_kind_name((gw_lot_kind)k));
        ck_assert_msg(ask(&set, feature, GW_LOT_TRENCH, NULL) >= 0, "%s",
                      gw_lot_kind_name((gw_lot_kind)k));
        ck_assert(ask(&set, feature, GW_LOT_TRENCH, NULL) == ask(&set, feature, GW_LOT_COIL, NULL));
    }
    end();
}
END_TEST

START_TEST(own_rules_come_first_and_the_closest_fit_wins)
{
    begin();
    const gw_lot_rules rules = shipped();
    gw_lot_rule own[4] = {rule(GW_LOT_WELL, 20), rule(GW_LOT_WELL, 33), rule(GW_LOT_WELL, 44),
                          rule(GW_LOT_WELL, 21)};
    own[1].variant = "public_50gpm";
    own[2].feature_id = "w7";
    const gw_lot_ruleset set = {.shipped = &rules, .jurisdiction = "us-me", .own = {own, 4}};
    gw_lot_feature well = thing(GW_LOT_WELL);
    gw_lot_origin origin;
    ck_assert_double_eq(ask(&set, well, GW_LOT_BORE, &origin), 21); // the last of equals
    ck_assert_int_eq(origin, GW_LOT_OWN_RULE);
    well.variant = "public_50gpm";
    ck_assert_double_eq(ask(&set, well, GW_LOT_BORE, NULL), 33);
    well.id = "w7";
    ck_assert_double_eq(ask(&set, well, GW_LOT_BORE, NULL), 44);
    // Own rules hold only for the loops they name.
    own[0].loops[GW_LOT_TRENCH] = own[3].loops[GW_LOT_TRENCH] = false;
    ck_close(ask(&set, thing(GW_LOT_WELL), GW_LOT_TRENCH, &origin), 45 * 0.3048, 1e-12);
    ck_assert_int_eq(origin, GW_LOT_LOCAL_RULE);
    end();
}
END_TEST

START_TEST(raised_bed_adds_twice_its_height)
{
    begin();
    // Ottawa Septic System Office: 2 × (finished - existing grade) is added to every distance;
    // a raise of 1.5 m makes 15 m into 18 m.
    gw_lot_rule own = rule(GW_LOT_SEPTIC_FIELD, 15);
    own.raise_factor = 2;
    const gw_lot_ruleset set = {.own = {&own, 1}};
    gw_lot_feature bed = thing(GW_LOT_SEPTIC_FIELD);
    bed.raise_m = 1.5;
    ck_assert_double_eq(ask(&set, bed, GW_LOT_TRENCH, NULL), 18);
    bed.raise_m = 0;
    ck_assert_double_eq(ask(&set, bed, GW_LOT_TRENCH, NULL), 15);
    const gw_lot_rules rules = shipped();
    const gw_lot_ruleset ontario = {.shipped = &rules, .jurisdiction = "ca-on"};
    bed.raise_m = 1.5;
    ck_assert_double_eq(ask(&ontario, bed, GW_LOT_TRENCH, NULL), 5 + 3);
    end();
}
END_TEST

START_TEST(unknown_jurisdiction_is_refused_with_a_suggestion)
{
    begin();
    const gw_lot_rules rules = shipped();
    gw_lot_ruleset set = {.shipped = &rules, .jurisdiction = "us-mw"};
    ck_assert_int_eq(gw_lot_ruleset_check(&set, &err), GW_ERR_KEY);
    ck_assert_str_eq(err.field, "lot.jurisdiction");
    ck_assert(strstr(err.text, "did you mean \"us-m") != NULL);
    set.jurisdiction = "atlantis";
    ck_assert_int_eq(gw_lot_ruleset_check(&set, &err), GW_ERR_KEY);
    set.jurisdiction = "typical";
    ck_assert_int_eq(gw_lot_ruleset_check(&set, &err), GW_OK);
    gw_lot_rule own[2] = {rule(GW_LOT_WELL, 3), rule(GW_LOT_WELL, -1)};
    set.own = (gw_lot_rules){own, 2};
    ck_assert_int_eq(gw_lot_ruleset_check(&set, &err), GW_ERR_RANGE);
    ck_assert_str_eq(err.field, "lot.setbacks[1].distance_m");
    own[1].distance_m = NOT_A_NUMBER;
    ck_assert_int_eq(gw_lot_ruleset_check(&set, &err), GW_ERR_RANGE);
    end();
}
END_TEST

static gw_status read_text(const char *body)
{
    static const char HEAD[] =
        "jurisdiction,kind,variant,loop,distance_m,raise_factor,source,note\n";
    const char *const text = gw_arena_printf(arena, "%s%s", HEAD, body);
    gw_table table;
    gw_lot_rules rules;
    memset(&err, 0, sizeof err);
    ck_assert_int_eq(gw_table_read(arena, "t.csv", text, strlen(text), &table, &err), GW_OK);
    return gw_lot_rules_read(arena, &table, &rules, &err);
}

START_TEST(bad_rows_are_refused_with_their_line)
{
    begin();
    ck_assert_int_eq(read_text("a,well,,any,3,,src,\n"), GW_OK);
    ck_assert_int_eq(read_text("a,well,,bore+trench,3,2,src,\n"), GW_OK);
    const struct {
        const char *row;
        gw_status status;
    } bad[] = {
        {"a,wells,,any,3,,src,\n", GW_ERR_KEY},    {"a,well,,bores,3,,src,\n", GW_ERR_KEY},
        {"a,well,,bore+,3,,src,\n", GW_ERR_KEY},   {"a,well,,,3,,src,\n", GW_ERR_KEY},
        {"a,well,,any,-3,,src,\n", GW_ERR_RANGE},  {"a,well,,any,near,,src,\n", GW_ERR_TYPE},
        {"a,well,,any,3,-1,src,\n", GW_ERR_RANGE}, {"a,well,,any,3,,,\n", GW_ERR_MISSING},
        {",well,,any,3,,src,\n", GW_ERR_MISSING},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        const char *const body = gw_arena_printf(arena, "a,well,,any,3,,src,\n%s", bad[i].row);
        ck_assert_msg(read_text(body) == bad[i].status, "%s", bad[i].row);
        ck_assert_int_eq(err.line, 3);
    }
    end();
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("setback");
    TCase *const cases = tcase_create("setback");
    tcase_add_test(cases, shipped_rows_give_the_published_feet);
    tcase_add_test(cases, every_row_has_a_source_and_every_typical_row_says_check_your_bylaw);
    tcase_add_test(cases, typical_rules_stand_in_where_a_jurisdiction_is_silent);
    tcase_add_test(cases, typical_set_covers_every_kind_for_bores_and_trenches_but_rock_for_bores);
    tcase_add_test(cases, own_rules_come_first_and_the_closest_fit_wins);
    tcase_add_test(cases, raised_bed_adds_twice_its_height);
    tcase_add_test(cases, unknown_jurisdiction_is_refused_with_a_suggestion);
    tcase_add_test(cases, bad_rows_are_refused_with_their_line);
    suite_add_tcase(suite, cases);
    return harness_run(suite);
}
