// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Whole jobs: examples, starter, defaults, published schema and documentation, memory.
// With GW_WRITE_PUBLISHED set in the environment the published files are written anew.
#include "job/job.h"
#include "job/starter.h"

#include "harness.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static gw_units *units;
static gw_arena *arena;

static void open_all(void)
{
    units = gw_units_create(NULL);
    arena = gw_arena_create(0);
    ck_assert(units != NULL && arena != NULL);
}

static void close_all(void)
{
    gw_arena_destroy(arena);
    gw_units_destroy(units);
}

static const char *read_file(const char *path)
{
    char full[512];
    snprintf(full, sizeof full, "%s/%s", GW_SOURCE_DIR, path);
    FILE *const file = fopen(full, "rb");
    ck_assert_msg(file != NULL, "%s is missing", full);
    char *const text = gw_arena_alloc(arena, 1 << 20, 1);
    ck_assert_ptr_nonnull(text);
    const size_t length = fread(text, 1, (1 << 20) - 1, file);
    fclose(file);
    text[length] = '\0';
    return text;
}

static const gw_job *read_job(const char *text, gw_form_report *report)
{
    const gw_job_source source = {
        .arena = arena, .units = units, .text = text, .length = strlen(text)};
    const gw_job *job = NULL;
    gw_err err = {0};
    const gw_status st = gw_job_read(&source, &job, report, &err);
    ck_assert_msg(st == GW_OK, "line %d, %s: %s", err.line, err.field, err.text);
    return job;
}

static const char *write_job(const gw_job *job)
{
    const char *text = NULL;
    ck_assert_int_eq(gw_job_write(arena, job, &text, NULL), GW_OK);
    return text;
}

static const char *const EXAMPLES[] = {"examples/farmhouse.json", "examples/village.json",
                                       "examples/cottage.json"};

static bool same_double(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0;
}

START_TEST(examples_read_without_warning_and_round_trip)
{
    gw_form_report report;
    gw_form_report again;
    const gw_job *const job = read_job(read_file(EXAMPLES[_i]), &report);
    ck_assert_msg(report.warnings.count == 0, "%s: %s", report.warnings.items[0].field,
                  report.warnings.items[0].text);
    const char *const text = write_job(job);
    const gw_job *const back = read_job(text, &again);
    ck_assert_str_eq(write_job(back), text);
    ck_assert_uint_eq(report.given.count, again.given.count);
    ck_assert_uint_eq(report.default_count, again.default_count);
    for (size_t i = 0; i < report.default_count; i++) {
        ck_assert_str_eq(report.defaults[i].path, again.defaults[i].path);
        ck_assert_str_eq(report.defaults[i].text, again.defaults[i].text);
    }
    ck_assert_uint_eq(job->house.envelope_count, back->house.envelope_count);
    for (size_t i = 0; i < job->house.envelope_count; i++) {
        ck_assert(same_double(job->house.envelope[i].area_m2, back->house.envelope[i].area_m2));
        ck_assert(same_double(job->house.envelope[i].insulation_m2k_w,
                              back->house.envelope[i].insulation_m2k_w));
    }
    ck_assert_uint_eq(job->loop_count, back->loop_count);
    ck_assert(same_double(job->limits.min_entering_degc, back->limits.min_entering_degc));
}
END_TEST

// A copy does not know what was given: settled values are written out, and nothing changes.
START_TEST(a_copy_of_a_job_is_written_with_the_same_meaning)
{
    gw_form_report report;
    const gw_job copy = *read_job(read_file(EXAMPLES[_i]), &report);
    const gw_job *const back = read_job(write_job(&copy), &report);
    const gw_job again = *back;
    ck_assert_str_eq(write_job(&again), write_job(&copy));
    ck_assert(same_double(back->plant.share_of_design_loss, copy.plant.share_of_design_loss));
    ck_assert(same_double(back->fluid.freeze_point_degc, copy.fluid.freeze_point_degc));
    ck_assert(same_double(back->fluid.mass_frac, copy.fluid.mass_frac));
    ck_assert_int_eq(back->house.leakage.kind, copy.house.leakage.kind);
    for (size_t i = 0; i < copy.loop_count; i++) {
        ck_assert(same_double(back->loops[i].header_m, copy.loops[i].header_m));
        ck_assert_uint_eq(back->loops[i].bores.count, copy.loops[i].bores.count);
        ck_assert(
            same_double(back->loops[i].trench.max_length_m, copy.loops[i].trench.max_length_m));
    }
}
END_TEST

// The notes of each example state its UA by hand; conduction to outside air is checked here.
START_TEST(examples_have_the_heat_loss_their_notes_state)
{
    static const double WANT_W_K[] = {152.0, 105.5, 99.0};
    gw_form_report report;
    const gw_job *const job = read_job(read_file(EXAMPLES[_i]), &report);
    double sum_w_k = 0.0;
    for (size_t i = 0; i < job->house.envelope_count; i++) {
        const gw_house_component *const part = &job->house.envelope[i];
        sum_w_k += part->kind <= GW_HOUSE_DOOR ? part->area_m2 / part->insulation_m2k_w : 0.0;
    }
    ck_close(sum_w_k, WANT_W_K[_i], 0.01);
}
END_TEST

START_TEST(typed_units_arrive_in_si)
{
    gw_form_report report;
    const gw_job *const job = read_job(read_file("examples/farmhouse.json"), &report);
    ck_close(job->site.entry_distance_m, 50 * 0.3048, 1e-12);
    ck_close(job->house.envelope[0].insulation_m2k_w, 12.5 * 0.1761101837, 1e-9);
    ck_close(job->house.heating_setpoint_degc, (70.0 - 32.0) / 1.8, 1e-12);
    ck_close(job->house.envelope[3].shading_frac, 0.2, 1e-12);
    ck_close(job->house.envelope[6].depth_m, 5.5 * 0.3048, 1e-12);
    ck_assert_ptr_nonnull(job->plant.hot_water);
    ck_close(job->plant.hot_water->use.daily_volume_m3, 60 * 0.003785411784, 1e-12);
    ck_close(job->house.hot_water_m3_day, 60 * 0.003785411784, 1e-12);
    ck_close(job->house.hot_water_rise_k, 47.0, 1e-12);
    ck_assert_uint_eq(job->ground.layer_count, 2);
    ck_assert_int_eq(job->loops[0].kind, GW_LOOP_TRENCH);
    ck_assert_int_eq(job->loops[1].kind, GW_LOOP_BORES);
    ck_close(job->loops[0].header_m, 50 * 0.3048, 1e-12);
    ck_close(job->loops[1].header_m, 80 * 0.3048, 1e-12);
    ck_assert(job->loops[0].trench.max_length_m == job->site.usable_length_m);
    ck_assert_int_eq(job->money.programs[0].amount.cents, 500000);
    const gw_job *const cottage = read_job(read_file("examples/cottage.json"), &report);
    ck_assert_ptr_nonnull(cottage->plant.own);
    ck_close(cottage->plant.own->cooling.points[0].capacity_w, 2.25 * 3516.8528, 1e-7);
    ck_assert_uint_eq(cottage->plant.own->heating.count, 4);
    ck_assert(cottage->plant.share_of_design_loss == 0.0 && cottage->plant.heat_pump == NULL);
    const gw_job *const village = read_job(read_file("examples/village.json"), &report);
    ck_assert_uint_eq(village->loops[1].bores.count, 2);
    ck_assert_uint_eq(village->money.tariff->tariff.block_count, 2);
}
END_TEST

START_TEST(the_starter_reads_and_uses_its_keys)
{
    gw_form_report report;
    const gw_job *const job = read_job(gw_job_starter(), &report);
    ck_assert_uint_eq(report.warnings.count, 0);
    ck_assert_uint_eq(job->loop_count, 2);
    ck_assert_str_eq(job->plant.heat_pump, "generic_two_stage");
}
END_TEST

static const char LEAST[] =
    "{\"groundwright\": 1, \"name\": \"least\", \"site\": {\"station\": \"oslo\"},\n"
    " \"house\": {\"floor_area_m2\": 150, \"design_loss_w\": \"8 kW\"},\n"
    " \"loops\": [{\"name\": \"a\", \"kind\": \"trench\", \"trench\": {\"count\": 2}}]}";

static const gw_form_default *default_of(const gw_job *job, const char *path)
{
    for (size_t i = 0; i < job->default_count; i++) {
        if (strcmp(job->defaults[i].path, path) == 0) {
            return &job->defaults[i];
        }
    }
    ck_abort_msg("no default listed for %s", path);
    return NULL;
}

START_TEST(the_least_job_lists_every_default_it_used)
{
    gw_form_report report;
    const gw_job *const job = read_job(LEAST, &report);
    static const char *const WANT[][2] = {
        {"currency", "\"$\""},
        {"site.entry_distance_m", "10"},
        {"house.leakage.tightness", "\"average\""},
        {"plant.heat_pump", "\"generic_two_stage\""},
        {"plant.share_of_design_loss", "0.9"},
        {"ground.soil.class", "\"heavy-soil-damp\""},
        {"ground.soil.level", "\"typical\""},
        {"fluid.kind", "\"propylene_glycol\""},
        {"fluid.freeze_point_degc", "-10"},
        {"limits.min_entering_degc", "-1"},
        {"loops[0].free", "\"length\""},
        {"loops[0].trench.depth_m", "1.8"},
        {"loops[0].trench.max_length_m", "150"},
        {"loops[0].header_m", "10"},
        {"money.compare_with", "\"oil_old\""},
        {"money.work.accredited_installer", "true"},
    };
    for (size_t i = 0; i < sizeof WANT / sizeof WANT[0]; i++) {
        ck_assert_str_eq(default_of(job, WANT[i][0])->text, WANT[i][1]);
    }
    for (size_t i = 0; i < job->default_count; i++) {
        for (size_t j = 0; j < i; j++) {
            ck_assert_str_ne(job->defaults[i].path, job->defaults[j].path);
        }
    }
    ck_assert_ptr_null(strstr(write_job(job), "header_m"));
}
END_TEST

START_TEST(house_defaults_are_those_of_the_house_room)
{
    gw_form_report report;
    const gw_house own = read_job(LEAST, &report)->house;
    const gw_house room = gw_house_default();
    ck_assert(own.storeys == room.storeys && own.mass == room.mass);
    ck_assert(own.heating_setpoint_degc == room.heating_setpoint_degc);
    ck_assert(own.cooling_setpoint_degc == room.cooling_setpoint_degc);
    ck_assert(own.internal_gain_w == room.internal_gain_w);
    ck_assert(own.latent_gain_frac == room.latent_gain_frac);
    ck_assert(own.soil_conductivity_w_mk == room.soil_conductivity_w_mk);
    ck_assert(own.opaque_absorptance == room.opaque_absorptance);
    ck_assert(own.leakage.kind == room.leakage.kind);
    ck_assert(own.leakage.tightness == room.leakage.tightness);
    ck_assert(own.leakage.shelter_class == room.leakage.shelter_class);
    ck_assert(own.ventilation_m3_s == room.ventilation_m3_s);
    ck_assert(own.heat_recovery_frac == room.heat_recovery_frac);
    ck_assert(own.setback_start_h == own.setback_end_h);
}
END_TEST

START_TEST(unusual_values_warn_with_their_place)
{
    gw_form_report report;
    read_job("{\"groundwright\": 1, \"name\": \"odd\", \"site\": {\"station\": \"oslo\"},\n"
             " \"house\": {\"floor_area_m2\": 1500, \"design_loss_w\": \"8 kW\"},\n"
             " \"fluid\": {\"kind\": \"water\"}, \"limits\": {\n\"min_entering_degc\": 2},\n"
             " \"loops\": [{\"name\": \"a\", \"kind\": \"trench\", \"trench\": {\"count\": 2}}]}",
             &report);
    ck_assert_uint_eq(report.warnings.count, 2);
    ck_assert_str_eq(report.warnings.items[0].field, "house.floor_area_m2");
    ck_assert_int_eq(report.warnings.items[0].line, 2);
    ck_assert_str_eq(report.warnings.items[1].field, "limits.min_entering_degc");
    ck_assert_int_eq(report.warnings.items[1].line, 4);
    ck_assert_ptr_nonnull(strstr(report.warnings.items[1].text, "freeze"));
}
END_TEST

START_TEST(own_values_replace_those_of_station_and_soil)
{
    gw_form_report report;
    const gw_job *const job = read_job(
        "{\"groundwright\": 1, \"name\": \"own\", \"site\": {\"station\": \"oslo\", "
        "\"ground_mean_degc\": 5.5, \"monthly_mean_degc\": [-9,-8,-3,4,10,15,17,16,11,5,-1,-6]},\n"
        " \"house\": {\"floor_area_m2\": 150, \"design_loss_w\": \"8 kW\"},\n"
        " \"ground\": {\"soil\": {\"class\": \"loam\", \"conductivity_w_mk\": 1.1},\n"
        "  \"rock\": {\"conductivity_w_mk\": 3, \"volumetric_heat_j_m3k\": \"2.2 MJ/(m3 K)\"}},\n"
        " \"loops\": [{\"name\": \"a\", \"kind\": \"trench\", \"trench\": {\"count\": 2}}]}",
        &report);
    gw_station station = {.ground_mean_degc = 7.0, .ground_amplitude_k = 9.0};
    gw_job_apply_climate(&job->site, &station);
    ck_assert(station.ground_mean_degc == 5.5 && station.ground_amplitude_k == 9.0);
    ck_assert(station.monthly_mean_degc[0] == -9.0 && station.monthly_mean_degc[11] == -6.0);
    gw_soil soil = {.conductivity_w_mk = 1.4,
                    .volumetric_heat_j_m3k = 2e6,
                    .frozen_conductivity_w_mk = 2.1,
                    .frozen_volumetric_heat_j_m3k = 1.7e6,
                    .latent_heat_j_m3 = 8e7};
    gw_job_apply_soil(&job->ground.soil, &soil);
    ck_assert(soil.conductivity_w_mk == 1.1 && soil.volumetric_heat_j_m3k == 2e6);
    ck_close(soil.frozen_conductivity_w_mk, 1.65, 1e-12);
    ck_assert(soil.latent_heat_j_m3 == 8e7);
    gw_soil rock = {0};
    gw_job_apply_soil(job->ground.rock, &rock);
    ck_assert(rock.frozen_conductivity_w_mk == 3.0 && rock.latent_heat_j_m3 == 0.0);
    ck_close(rock.frozen_volumetric_heat_j_m3k, 2.2e6, 1e-12);
    ck_assert_int_eq(gw_soil_check(&rock, NULL), GW_OK);
}
END_TEST

START_TEST(tariff_periods_become_months_of_the_tariff_room)
{
    gw_form_report report;
    const gw_job *const job = read_job(
        "{\"groundwright\": 1, \"name\": \"tou\", \"site\": {\"station\": \"oslo\"},\n"
        " \"house\": {\"floor_area_m2\": 150, \"design_loss_w\": \"8 kW\"},\n"
        " \"loops\": [{\"name\": \"a\", \"kind\": \"trench\", \"trench\": {\"count\": 2}}],\n"
        " \"money\": {\"tariff\": {\"monthly_charge\": 20, \"periods\": [\n"
        "  {\"name\": \"winter days\", \"price_per_kwh\": 0.2, \"from_month\": 11, \"to_month\": "
        "2,\n"
        "   \"days\": \"weekdays\", \"from_hour\": 7, \"to_hour\": 19},\n"
        "  {\"name\": \"rest\", \"price_per_kwh\": 0.1}]}}}",
        &report);
    const gw_tariff *const tariff = &job->money.tariff->tariff;
    ck_assert_uint_eq(tariff->period_count, 2);
    ck_assert_uint_eq(tariff->periods[0].months, 0xC03u); // November, December, January, February
    ck_assert_uint_eq(tariff->periods[1].months, 0xFFFu);
    ck_assert_int_eq(tariff->monthly_charge.cents, 2000);
    ck_assert_int_eq(gw_tariff_check(tariff, NULL), GW_OK);
    const char *const text = write_job(job);
    ck_assert_str_eq(write_job(read_job(text, &report)), text);
}
END_TEST

START_TEST(the_tables_are_sound)
{
    gw_err err = {0};
    const gw_status st = gw_form_check_tables(gw_job_form(), &err);
    ck_assert_msg(st == GW_OK, "%s: %s", err.field, err.text);
    const gw_form_set set = gw_form_all(gw_job_form());
    ck_assert_uint_ge(set.count, 25);
    ck_assert_uint_lt(set.count, sizeof set.items / sizeof set.items[0]);
    for (size_t i = 0; i < set.count; i++) {
        for (size_t j = 0; j < i; j++) {
            ck_assert_str_ne(set.items[i]->name, set.items[j]->name);
        }
    }
}
END_TEST

// ---------------------------------------------------------------- published files

static void compare_or_write(const char *path, const char *want)
{
    if (getenv("GW_WRITE_PUBLISHED") != NULL) {
        char full[512];
        snprintf(full, sizeof full, "%s/%s", GW_SOURCE_DIR, path);
        FILE *const file = fopen(full, "wb");
        ck_assert_ptr_nonnull(file);
        fputs(want, file);
        fclose(file);
    }
    ck_assert_msg(strcmp(read_file(path), want) == 0,
                  "%s differs from the tables: run this test with GW_WRITE_PUBLISHED=1", path);
}

START_TEST(the_published_schema_is_that_of_the_code)
{
    const char *schema = NULL;
    ck_assert_int_eq(gw_job_schema(arena, &schema, NULL), GW_OK);
    compare_or_write("docs/job.schema.json", schema);
    const gw_node *root = NULL;
    ck_assert_int_eq(gw_node_read(arena, schema, strlen(schema), &root, NULL), GW_OK);
    ck_assert_ptr_nonnull(gw_node_member(gw_node_member(root, "$defs"), "trench"));
}
END_TEST

START_TEST(the_published_documentation_is_that_of_the_code)
{
    static const char MARK[] =
        "<!-- The rest is written by the program from the tables that read the document. -->\n\n";
    const char *const text = read_file("docs/job.md");
    const char *const mark = strstr(text, MARK);
    ck_assert_ptr_nonnull(mark);
    const char *docs = NULL;
    ck_assert_int_eq(gw_job_docs(arena, &docs, NULL), GW_OK);
    const char *const whole =
        gw_arena_printf(arena, "%.*s%s%s", (int)(mark - text), text, MARK, docs);
    ck_assert_ptr_nonnull(whole);
    compare_or_write("docs/job.md", whole);
}
END_TEST

// ---------------------------------------------------------------- memory

static gw_status read_and_write_all(gw_arena *small, const char *text)
{
    const gw_job_source source = {
        .arena = small, .units = units, .text = text, .length = strlen(text)};
    gw_form_report report;
    const gw_job *job = NULL;
    const char *out = NULL;
    gw_status st = gw_job_read(&source, &job, &report, NULL);
    if (st == GW_OK) {
        st = gw_job_write(small, job, &out, NULL);
    }
    if (st == GW_OK) {
        st = gw_job_schema(small, &out, NULL);
    }
    return st == GW_OK ? gw_job_docs(small, &out, NULL) : st;
}

START_TEST(running_out_of_memory_anywhere_is_reported)
{
    const char *const text = read_file(EXAMPLES[_i]);
    size_t n = 0;
    for (;; n++) {
        gw_arena *const small = gw_arena_create(0);
        gw_arena_fail_after(small, n);
        const gw_status st = read_and_write_all(small, text);
        gw_arena_destroy(small);
        if (st == GW_OK) {
            break;
        }
        ck_assert_int_eq(st, GW_ERR_NOMEM);
        ck_assert_uint_lt(n, 20000);
    }
    ck_assert_uint_gt(n, 100);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("job");
    TCase *const tcase = tcase_create("all");
    tcase_set_timeout(tcase, 120);
    tcase_add_unchecked_fixture(tcase, open_all, close_all);
    tcase_add_loop_test(tcase, examples_read_without_warning_and_round_trip, 0, 3);
    tcase_add_loop_test(tcase, a_copy_of_a_job_is_written_with_the_same_meaning, 0, 3);
    tcase_add_loop_test(tcase, examples_have_the_heat_loss_their_notes_state, 0, 3);
    tcase_add_test(tcase, typed_units_arrive_in_si);
    tcase_add_test(tcase, the_starter_reads_and_uses_its_keys);
    tcase_add_test(tcase, the_least_job_lists_every_default_it_used);
    tcase_add_test(tcase, house_defaults_are_those_of_the_house_room);
    tcase_add_test(tcase, unusual_values_warn_with_their_place);
    tcase_add_test(tcase, own_values_replace_those_of_station_and_soil);
    tcase_add_test(tcase, tariff_periods_become_months_of_the_tariff_room);
    tcase_add_test(tcase, the_tables_are_sound);
    tcase_add_test(tcase, the_published_schema_is_that_of_the_code);
    tcase_add_test(tcase, the_published_documentation_is_that_of_the_code);
    tcase_add_loop_test(tcase, running_out_of_memory_anywhere_is_reported, 0, 3);
    suite_add_tcase(suite, tcase);
    return harness_run(suite);
}
