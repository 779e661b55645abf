// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The table of the whole document, rules between its parts, and the public functions.
#include "job/job.h"

#include "job/job_priv.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define JOB(member) GW_FORM_AT(gw_job, member)
#define PART(member, of) JOB(member), .type = GW_FORM_OBJECT, .form = &(of)

// clang-format off
static const gw_form_field JOB_FIELDS[] = {
    {.key = "groundwright", .offset = offsetof(gw_job, format), WHOLE(INT), LIMITS(GW_JOB_FORMAT, GW_JOB_FORMAT), REQUIRED, .doc = "Version of this format; a newer program may write a higher one."},
    {.key = "$schema", .offset = offsetof(gw_job, schema), .type = GW_FORM_TEXT, .most = 1000, OPTIONAL(0), .doc = "For editors; not used."},
    {JOB(name), .type = GW_FORM_TEXT, .least = 1, .most = 120, REQUIRED, .doc = "Of the job, as printed on every paper."},
    {JOB(notes), .type = GW_FORM_TEXT, .most = 8000, OPTIONAL(0), .doc = "Whatever should be remembered."},
    {JOB(currency), .type = GW_FORM_TEXT, .least = 1, .most = 8, .presence = GW_FORM_DEFAULT, .fallback_text = "$", .doc = "Symbol or code printed with amounts; nothing is converted."},
    {PART(site, GW_JOB_PRIV_SITE), REQUIRED, .doc = "Climate and free ground."},
    {PART(lot, GW_JOB_PRIV_LOT), .home = GW_FORM_POINTED, OPTIONAL(0), .doc = "Boundary, house, septic works, well, lines: where a loop may lie, and what it must leave alone. Given, usable_length_m, usable_width_m and entry_distance_m of the site are not looked at."},
    {PART(house, GW_JOB_PRIV_HOUSE), REQUIRED, .doc = "What is heated."},
    {PART(bills, GW_JOB_PRIV_BILLS), .home = GW_FORM_POINTED, OPTIONAL(0), .doc = "Fuel bills, to hold against the components."},
    {PART(plant, GW_JOB_PRIV_PLANT), .presence = GW_FORM_DEFAULT, .doc = "Heat pump and hot water."},
    {PART(ground, GW_JOB_PRIV_GROUND), .presence = GW_FORM_DEFAULT, .doc = "Soil and rock."},
    {PART(fluid, GW_JOB_PRIV_FLUID), .presence = GW_FORM_DEFAULT, .doc = "What circulates."},
    {PART(pipes, GW_JOB_PRIV_PIPES), .presence = GW_FORM_DEFAULT, .doc = "Header and circulator."},
    {PART(limits, GW_JOB_PRIV_LIMITS), .presence = GW_FORM_DEFAULT, .doc = "What the loop must hold."},
    {JOB(loops), .type = GW_FORM_LIST, .form = &GW_JOB_PRIV_LOOP, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_job, loop_count), .least = 1, .most = 12, REQUIRED, .doc = "Loops to size and compare."},
    {PART(money, GW_JOB_PRIV_MONEY), .presence = GW_FORM_DEFAULT, .doc = "Prices and grants."},
};
// clang-format on

bool gw_job_is_given(double value)
{
    return value > 0.5 * GW_FORM_NOT_GIVEN;
}

void gw_job_priv_hand_on(gw_form_reader *reader, const gw_err *err, const char *prefix)
{
    char path[GW_ERR_FIELD_SIZE];
    const size_t skip = strncmp(err->field, prefix, strlen(prefix)) == 0 ? strlen(prefix) : 0;
    snprintf(path, sizeof path, "%s", err->field + skip);
    char *const points = strstr(path, ".points");
    if (points != NULL) {
        const char *const rest = points + strlen(".points");
        memmove(points, rest, strlen(rest) + 1);
    }
    gw_form_complain(reader, err->code, path, "%s", err->text);
}

// Longest trench that the site takes, for straight pipe and coils.
static void settle_length(gw_form_reader *reader, const gw_job *job, gw_loop_plan *loop,
                          const char *path)
{
    const double side_m = job->site.usable_length_m;
    const double most_m = !gw_job_is_given(side_m) ? 150.0 : fmin(fmax(side_m, 5.0), 500.0);
    char full[96];
    if (loop->kind == GW_LOOP_TRENCH && !(loop->trench.max_length_m > 0.0)) {
        snprintf(full, sizeof full, "%s.trench", path);
        gw_form_settle(reader, &(gw_form_target){full, &GW_JOB_PRIV_TRENCH, &loop->trench},
                       "max_length_m", most_m);
    }
    if (loop->kind == GW_LOOP_COIL && !(loop->coil.max_length_m > 0.0)) {
        snprintf(full, sizeof full, "%s.coil", path);
        gw_form_settle(reader, &(gw_form_target){full, &GW_JOB_PRIV_COIL, &loop->coil},
                       "max_length_m", most_m);
    }
}

// The site settles what a loop leaves open.
static void settle_loop(gw_form_reader *reader, const gw_job *job, size_t index)
{
    // The list was made by this reading: const only for those who use the job.
    gw_loop_plan *loop = NULL;
    memcpy(&loop, &job->loops, sizeof loop); // NOLINT(bugprone-sizeof-expression): the pointer
    loop += index;
    char path[80];
    if (loop->header_m < 0.0) {
        snprintf(path, sizeof path, "loops[%zu]", index);
        gw_form_settle(reader, &(gw_form_target){path, &GW_JOB_PRIV_LOOP, loop}, "header_m",
                       job->site.entry_distance_m);
    }
    snprintf(path, sizeof path, "loops[%zu]", index);
    settle_length(reader, job, loop, path);
    for (size_t k = 0; k < loop->mixed.part_count; k++) {
        gw_loop_plan *part = NULL;
        memcpy(&part, &loop->mixed.parts, sizeof part); // NOLINT(bugprone-sizeof-expression)
        snprintf(path, sizeof path, "loops[%zu].parts[%zu]", index, k);
        settle_length(reader, job, part + k, path);
    }
}

static void settle_fluid(gw_form_reader *reader, gw_job *job)
{
    gw_job_fluid *const fluid = &job->fluid;
    if (fluid->kind == GW_FLUID_WATER) {
        fluid->mass_frac = 0.0;
        if (job->limits.min_entering_degc < 5.0) {
            gw_form_warn(reader, "limits.min_entering_degc",
                         "plain water may freeze in the heat pump's exchanger: with water mostly "
                         "at least 5 degC");
        }
        return;
    }
    if (!gw_job_is_given(fluid->mass_frac) && !gw_job_is_given(fluid->freeze_point_degc)) {
        const double wanted_degc = job->limits.min_entering_degc - 9.0;
        gw_form_settle(reader, &(gw_form_target){"fluid", &GW_JOB_PRIV_FLUID, fluid},
                       "freeze_point_degc", wanted_degc < 0.0 ? wanted_degc : 0.0);
    } else if (gw_job_is_given(fluid->freeze_point_degc) &&
               fluid->freeze_point_degc > job->limits.min_entering_degc - 5.0) {
        gw_form_warn(reader, "fluid.freeze_point_degc",
                     "%.1f degC is possible but unusual: mostly at least 8 K below the coldest "
                     "entering water of %.1f degC",
                     fluid->freeze_point_degc, job->limits.min_entering_degc);
    }
}

// Lanes laid by hand belong to a trench loop of the job.
static void check_lanes(gw_form_reader *reader, const gw_job *job)
{
    const size_t count = job->lot != NULL ? job->lot->lane_count : 0;
    for (size_t i = 0; i < count; i++) {
        size_t k = 0;
        while (k < job->loop_count && (job->loops[k].kind == GW_LOOP_BORES ||
                                       strcmp(job->loops[k].name, job->lot->lanes[i].loop) != 0)) {
            k++;
        }
        if (k == job->loop_count) {
            char path[48];
            snprintf(path, sizeof path, "lot.lanes[%zu].loop", i);
            gw_form_complain(reader, GW_ERR_KEY, path,
                             "found \"%.60s\", expected the name of a loop in trenches",
                             job->lot->lanes[i].loop);
        }
    }
}

static void check_names(gw_form_reader *reader, const gw_job *job)
{
    for (size_t i = 0; i < job->loop_count; i++) {
        for (size_t j = 0; j < i; j++) {
            if (strcmp(job->loops[i].name, job->loops[j].name) == 0) {
                char path[48];
                snprintf(path, sizeof path, "loops[%zu].name", i);
                gw_form_complain(reader, GW_ERR_KEY, path,
                                 "found \"%.60s\" twice, expected loops with different names",
                                 job->loops[i].name);
            }
        }
    }
}

static void finish_job(gw_form_reader *reader, void *object)
{
    gw_job *const job = object;
    settle_fluid(reader, job);
    for (size_t i = 0; i < job->loop_count; i++) {
        settle_loop(reader, job, i);
    }
    check_names(reader, job);
    check_lanes(reader, job);
    // One place in the document says what hot water is drawn; the house repeats it in its results.
    const gw_job_hot_water *const water = job->plant.hot_water;
    if (water != NULL) {
        job->house.hot_water_m3_day = water->use.daily_volume_m3;
        job->house.hot_water_rise_k = water->use.hot_degc - water->use.cold_degc;
    }
}

static const gw_form JOB_FORM = {
    .name = "job",
    .doc = "One house, its ground and the loops to compare.",
    .rules = "Loops have different names.",
    .size = sizeof(gw_job),
    ROWS(JOB_FIELDS),
    .finish = finish_job,
};

const gw_form *gw_job_form(void)
{
    return &JOB_FORM;
}

gw_status gw_job_read(const gw_job_source *source, const gw_job **out, gw_form_report *report,
                      gw_err *err)
{
    *report = (gw_form_report){0};
    gw_job *const job = gw_arena_alloc(source->arena, 1, sizeof *job);
    if (job == NULL) {
        return gw_fail(err, GW_ERR_NOMEM, "", "out of memory reading the job");
    }
    const gw_form_source form_source = {.arena = source->arena,
                                        .units = source->units,
                                        .form = &JOB_FORM,
                                        .text = source->text,
                                        .length = source->length};
    const gw_status st = gw_form_read(&form_source, job, report, err);
    if (st != GW_OK) {
        return st;
    }
    job->defaults = report->defaults;
    job->default_count = report->default_count;
    job->given = report->given;
    *out = job;
    return GW_OK;
}

gw_status gw_job_write(gw_arena *arena, const gw_job *job, const char **out, gw_err *err)
{
    return gw_form_write(arena, &JOB_FORM, job, &job->given, out, err);
}

gw_status gw_job_schema(gw_arena *arena, const char **out, gw_err *err)
{
    const gw_form_title title = {.id = "groundwright-job-1", .title = "groundwright job document"};
    return gw_form_schema(arena, &JOB_FORM, &title, out, err);
}

gw_status gw_job_docs(gw_arena *arena, const char **out, gw_err *err)
{
    return gw_form_docs(arena, &JOB_FORM, out, err);
}
