// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables of the loops and of the limits they must hold. How pipes lie in a trench is the loop
// room's own check.
#include "job/job_priv.h"
#include "loop/kind.h"
#include "loop/response.h"

#include <math.h>
#include <stdio.h>

#define BORES(member) GW_FORM_AT(gw_bores_plan, member)
#define PLACE(member) GW_FORM_AT(gw_bore_place, member)
#define TRENCH(member) GW_FORM_AT(gw_trench_plan, member)
#define LOOP(member) GW_FORM_AT(gw_loop_plan, member)

#define COIL(member) GW_FORM_AT(gw_coil_plan, member)

static const char *const KIND_WORDS[] = {"bores", "trench", "coil", "pond", "well", "mixed"};
static const char *const PART_WORDS[] = {"bores", "trench", "coil"};
static const char *const LIE_WORDS[] = {"flat", "upright"};
static const char *const FREE_WORDS[] = {"length", "count", "nothing"};
static const char *const ARRANGEMENT_WORDS[] = {"on_floor", "stacked", "two_sides"};

// ---------------------------------------------------------------- bores

// clang-format off
static const gw_form_field PLACE_FIELDS[] = {
    {PLACE(x_m), QUANTITY(LENGTH), LIMITS(-5000, 5000), REQUIRED, .doc = "Collar east of the job's origin."},
    {PLACE(y_m), QUANTITY(LENGTH), LIMITS(-5000, 5000), REQUIRED, .doc = "Collar north of it."},
    {PLACE(tilt_deg), QUANTITY(ANGLE), LIMITS(0, 60), DEFAULT(0), .doc = "From the vertical."},
    {PLACE(azimuth_deg), QUANTITY(ANGLE), LIMITS(0, 360), DEFAULT(0), .doc = "Direction of the tilt, 0 north, 90 east."},
};

static const gw_form PLACE_FORM = {
    .name = "place",
    .doc = "Where one bore begins.",
    .size = sizeof(gw_bore_place),
    ROWS(PLACE_FIELDS),
};

static const gw_form_field BORES_FIELDS[] = {
    {BORES(count), WHOLE(SIZE), LIMITS(1, 400), USUAL(1, 24), OPTIONAL(0), .derived = true, .doc = "Number of bores; left out only where it is free or places are given."},
    {BORES(depth_m), QUANTITY(LENGTH), LIMITS(15, 300), USUAL(30, 200), OPTIONAL(0), .doc = "Active length of each, below top_m; left out where it is free."},
    {BORES(top_m), QUANTITY(LENGTH), LIMITS(0.5, 10), DEFAULT(1.5), .doc = "Ground surface to the top of the active length."},
    {BORES(diameter_m), QUANTITY(SMALL_LENGTH), LIMITS(0.075, 0.3), USUAL(0.1, 0.2), DEFAULT(0.15), .doc = "Of the bore."},
    {BORES(spacing_m), QUANTITY(LENGTH), LIMITS(3, 30), USUAL(4.5, 15), DEFAULT(6), .doc = "Between neighbours of the grid, where no places are given."},
    {BORES(rows), WHOLE(SIZE), LIMITS(1, 400), OPTIONAL(0), .doc = "Rows of the grid; left out, as square as the count allows."},
    {BORES(places), .type = GW_FORM_LIST, .form = &PLACE_FORM, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_bores_plan, place_count), .least = 1, .most = 400, OPTIONAL(0), .doc = "Each collar, in place of a grid."},
    {BORES(u_tubes), WHOLE(SIZE), LIMITS(1, 2), DEFAULT(1), .doc = "U-tubes in each bore."},
    {BORES(pipe), PIPE_ID, .presence = GW_FORM_DEFAULT, .fallback_text = "1-1/4in-dr11", .doc = "Of the U-tubes."},
    {BORES(shank_m), QUANTITY(SMALL_LENGTH), LIMITS(0.02, 0.28), OPTIONAL(0), .doc = "Between the centres of the two legs; left out, evenly spread over the bore."},
    {BORES(grout_conductivity_w_mk), QUANTITY(CONDUCTIVITY), LIMITS(0.4, 3), USUAL(0.6, 2.5), DEFAULT(1), .doc = "Of the grout."},
    {BORES(grout_volumetric_heat_j_m3k), QUANTITY(VOLUMETRIC_HEAT), LIMITS(1e6, 5e6), DEFAULT(3.4e6), .doc = "Of the grout."},
    {BORES(rock_depth_m), QUANTITY(LENGTH), LIMITS(0, 150), DEFAULT(5), .doc = "Overburden above the rock, cased and priced apart; 0 for rock at the surface."},
    {BORES(max_depth_m), QUANTITY(LENGTH), LIMITS(15, 300), USUAL(45, 250), DEFAULT(150), .doc = "Deepest the rig or the law allows."},
};
// clang-format on

static void check_places(gw_form_reader *reader, const gw_bores_plan *bores)
{
    if (bores->place_count > 0 && bores->place_count != bores->count) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "places",
                         "found places for %zu bores, expected as many as count says: %zu",
                         bores->place_count, bores->count);
        return;
    }
    for (size_t i = 0; i < bores->place_count; i++) {
        for (size_t j = 0; j < i; j++) {
            const double apart_m = hypot(bores->places[i].x_m - bores->places[j].x_m,
                                         bores->places[i].y_m - bores->places[j].y_m);
            if (!(apart_m > bores->diameter_m)) {
                char path[48];
                snprintf(path, sizeof path, "places[%zu]", i);
                gw_form_complain(reader, GW_ERR_GEOMETRY, path,
                                 "found it %.2f m from places[%zu], expected two bores apart",
                                 apart_m, j);
                return;
            }
        }
    }
}

// Circles in a circle: two legs side by side; four legs in a square take (1 + √2) diameters.
static void check_u_tubes(gw_form_reader *reader, const gw_bores_plan *bores)
{
    double pipe_m = 0.0;
    const gw_form_cell cell = {"pipes.csv", "id", bores->pipe, "outer_diameter_m"};
    if (!gw_form_lookup(reader, &cell, &pipe_m)) {
        return;
    }
    const double needed_m = (bores->u_tubes == 2 ? 1.0 + sqrt(2.0) : 2.0) * pipe_m;
    if (needed_m > bores->diameter_m) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "pipe",
                         "found %zu U-tube of %s, %.0f mm across, in a bore of %.0f mm: expected a "
                         "wider bore or a smaller pipe",
                         bores->u_tubes, bores->pipe, 1000.0 * needed_m,
                         1000.0 * bores->diameter_m);
    } else if (bores->shank_m > 0.0 &&
               (bores->shank_m < pipe_m || bores->shank_m + pipe_m > bores->diameter_m)) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "shank_m",
                         "found %.0f mm between legs %.0f mm thick in a bore of %.0f mm, expected "
                         "%.0f to %.0f mm",
                         1000.0 * bores->shank_m, 1000.0 * pipe_m, 1000.0 * bores->diameter_m,
                         1000.0 * pipe_m, 1000.0 * (bores->diameter_m - pipe_m));
    }
}

static void finish_bores(gw_form_reader *reader, void *object)
{
    gw_bores_plan *const bores = object;
    if (bores->count == 0 && bores->place_count > 0) {
        bores->count = bores->place_count;
    }
    check_places(reader, bores);
    check_u_tubes(reader, bores);
    if (bores->count > 0 && bores->rows > bores->count) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "rows",
                         "found %zu rows of %zu bores, expected no "
                         "more rows than bores",
                         bores->rows, bores->count);
    }
    if (bores->depth_m > bores->max_depth_m) {
        gw_form_complain(reader, GW_ERR_RANGE, "depth_m",
                         "found %.1f m, expected no more than max_depth_m: %.1f m", bores->depth_m,
                         bores->max_depth_m);
    }
}

static const gw_form BORES_FORM = {
    .name = "bores",
    .doc = "Vertical or inclined bores with U-tubes.",
    .rules = "As many places as bores, no two at one spot. The U-tubes fit the bore. depth_m is at "
             "most max_depth_m.",
    .size = sizeof(gw_bores_plan),
    ROWS(BORES_FIELDS),
    .finish = finish_bores,
};

// ---------------------------------------------------------------- trench

// clang-format off
static const gw_form_field TRENCH_FIELDS[] = {
    {TRENCH(count), WHOLE(SIZE), LIMITS(1, 60), USUAL(1, 12), OPTIONAL(0), .doc = "Parallel trenches; left out only where it is free."},
    {TRENCH(length_m), QUANTITY(LENGTH), LIMITS(5, 500), USUAL(15, 200), OPTIONAL(0), .doc = "Of each trench; left out where it is free."},
    {TRENCH(spacing_m), QUANTITY(LENGTH), LIMITS(0.6, 30), USUAL(1.5, 8), DEFAULT(3), .doc = "Between trench centres."},
    {TRENCH(depth_m), QUANTITY(LENGTH), LIMITS(0.6, 4), USUAL(1.2, 2.5), DEFAULT(1.8), .doc = "Finished grade to the lowest pipe."},
    {TRENCH(width_m), QUANTITY(LENGTH), LIMITS(0.1, 3), USUAL(0.15, 1.2), DEFAULT(0.6), .doc = "Of the trench."},
    {TRENCH(pipes), WHOLE(SIZE), LIMITS(1, 6), DEFAULT(2), .doc = "Pipes in the cross-section."},
    {TRENCH(arrangement), .type = GW_FORM_CHOICE, WORDS(ARRANGEMENT_WORDS), DEFAULT(GW_PIPES_ON_FLOOR), .doc = "Side by side on the floor, one above the other, or two columns at the walls."},
    {TRENCH(pipe_gap_m), QUANTITY(LENGTH), LIMITS(0.15, 1.5), DEFAULT(0.3), .doc = "Vertical distance between layers of pipes."},
    {TRENCH(pipe), PIPE_ID, .presence = GW_FORM_DEFAULT, .fallback_text = "3/4in-dr11", .doc = "Size of the pipes."},
    {TRENCH(max_length_m), QUANTITY(LENGTH), LIMITS(5, 500), OPTIONAL(0), .derived = true, .doc = "Longest that the lot takes; left out, site.usable_length_m, or 150 m."},
    {TRENCH(backfill_w_mk), QUANTITY(CONDUCTIVITY), LIMITS(0.1, 5), USUAL(0.3, 3), OPTIONAL(0), .doc = "Conductivity of what is put around the pipes; left out, the native soil."},
    {TRENCH(backfill_height_m), QUANTITY(LENGTH), LIMITS(0.1, 4), OPTIONAL(0), .doc = "Of that backfill, from the trench floor up; left out, to 0.15 m over the highest pipe."},
    {TRENCH(fill_m), QUANTITY(LENGTH), LIMITS(0, 3), DEFAULT(0), .doc = "Fill brought in over the trenches: depth_m counts from its top, so that less is dug."},
};
// clang-format on

// The loop room lays out the section; its complaint is put at the key it names.
static void check_section(gw_form_reader *reader, const gw_trench_plan *trench)
{
    double pipe_m = 0.0;
    const gw_form_cell cell = {"pipes.csv", "id", trench->pipe, "outer_diameter_m"};
    gw_loop_section_pipe pipes[GW_LOOP_PIPES_MAX];
    gw_err err = {0};
    if (!gw_form_lookup(reader, &cell, &pipe_m)) {
        return;
    }
    if (gw_loop_trench_section(trench, pipe_m, pipes, &err) != GW_OK) {
        gw_job_priv_hand_on(reader, &err, "trench.");
    }
}

static void finish_trench(gw_form_reader *reader, void *object)
{
    const gw_trench_plan *const trench = object;
    check_section(reader, trench);
    if (trench->spacing_m < trench->width_m) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "spacing_m",
                         "found trenches %.2f m wide every %.2f m, expected them not to overlap",
                         trench->width_m, trench->spacing_m);
    }
    if (trench->fill_m > trench->depth_m) {
        gw_form_complain(reader, GW_ERR_GEOMETRY, "fill_m",
                         "found %.2f m of fill over pipes %.2f m deep, expected the pipes in the "
                         "ground",
                         trench->fill_m, trench->depth_m);
    }
    if (trench->backfill_height_m > 0.0 && !(trench->backfill_w_mk > 0.0)) {
        gw_form_complain(reader, GW_ERR_MISSING, "backfill_w_mk",
                         "found the height of a backfill, expected its conductivity too");
    }
    if (trench->max_length_m > 0.0 && trench->length_m > trench->max_length_m) {
        gw_form_complain(reader, GW_ERR_RANGE, "length_m",
                         "found %.1f m, expected no more than max_length_m: %.1f m",
                         trench->length_m, trench->max_length_m);
    }
}

const gw_form GW_JOB_PRIV_TRENCH = {
    .name = "trench",
    .doc = "Straight pipes in parallel trenches.",
    .rules =
        "Pipes fit the width, do not overlap and keep at least 0.45 m of cover; trenches do not "
        "overlap; an even number of pipes on two sides; no more fill than depth.",
    .size = sizeof(gw_trench_plan),
    ROWS(TRENCH_FIELDS),
    .finish = finish_trench,
};

// ---------------------------------------------------------------- coil

// clang-format off
static const gw_form_field COIL_FIELDS[] = {
    {COIL(count), WHOLE(SIZE), LIMITS(1, 60), USUAL(1, 12), OPTIONAL(0), .doc = "Parallel trenches; left out only where it is free."},
    {COIL(length_m), QUANTITY(LENGTH), LIMITS(2, 500), USUAL(10, 100), OPTIONAL(0), .doc = "Of each, from the outer edge of the first ring to that of the last; left out where it is free."},
    {COIL(spacing_m), QUANTITY(LENGTH), LIMITS(0.6, 30), USUAL(2, 8), DEFAULT(4), .doc = "Between trench centres."},
    {COIL(depth_m), QUANTITY(LENGTH), LIMITS(0.6, 4), USUAL(1.2, 2.5), DEFAULT(1.8), .doc = "Finished grade to the lowest pipe."},
    {COIL(width_m), QUANTITY(LENGTH), LIMITS(0.1, 3), OPTIONAL(0), .derived = true, .doc = "Of the trench; left out, 0.1 m more than flat rings, 0.2 m for upright ones."},
    {COIL(ring_diameter_m), QUANTITY(LENGTH), LIMITS(0.3, 2), USUAL(0.5, 1.5), DEFAULT(0.9), .doc = "Of the rings, to the pipe's axis."},
    {COIL(pitch_m), QUANTITY(LENGTH), LIMITS(0.04, 6), USUAL(0.2, 1.5), DEFAULT(0.45), .doc = "From ring to ring along the trench."},
    {COIL(lie), .type = GW_FORM_CHOICE, WORDS(LIE_WORDS), DEFAULT(GW_COIL_FLAT), .doc = "Rings flat on the trench floor, or upright in a narrow trench."},
    {COIL(pipe), PIPE_ID, .presence = GW_FORM_DEFAULT, .fallback_text = "3/4in-dr11", .doc = "Of the rings and of the straight return."},
    {COIL(max_length_m), QUANTITY(LENGTH), LIMITS(5, 500), OPTIONAL(0), .derived = true, .doc = "Longest that the lot takes; left out, site.usable_length_m, or 150 m."},
};
// clang-format on

static void finish_coil(gw_form_reader *reader, void *object)
{
    gw_coil_plan *const coil = object;
    double pipe_m = 0.0;
    const gw_form_cell cell = {"pipes.csv", "id", coil->pipe, "outer_diameter_m"};
    gw_err err = {0};
    if (!gw_form_lookup(reader, &cell, &pipe_m)) {
        return;
    }
    if (!(coil->width_m > 0.0)) {
        gw_form_settle(reader, NULL, "width_m",
                       coil->lie == GW_COIL_FLAT ? coil->ring_diameter_m + 0.1 : 0.2);
    }
    gw_coil_plan whole = *coil; // what is free stands in for itself
    whole.count = whole.count > 0 ? whole.count : 2;
    whole.length_m = whole.length_m > 0.0 ? whole.length_m : 10.0;
    if (gw_coil_check(&whole, pipe_m, &err) != GW_OK) {
        gw_job_priv_hand_on(reader, &err, "coil.");
    }
    if (coil->max_length_m > 0.0 && coil->length_m > coil->max_length_m) {
        gw_form_complain(reader, GW_ERR_RANGE, "length_m",
                         "found %.1f m, expected no more than max_length_m: %.1f m", coil->length_m,
                         coil->max_length_m);
    }
}

const gw_form GW_JOB_PRIV_COIL = {
    .name = "coil",
    .doc = "Rings of pipe in parallel trenches.",
    .rules =
        "Rings fit the trench, keep 0.45 m of cover, and lie two pipe diameters to three rings "
        "apart; trenches do not overlap.",
    .size = sizeof(gw_coil_plan),
    ROWS(COIL_FIELDS),
    .finish = finish_coil,
};

// ---------------------------------------------------------------- loop

// clang-format off
static const gw_form_field PART_FIELDS[] = {
    {LOOP(kind), .type = GW_FORM_CHOICE, WORDS(PART_WORDS), REQUIRED, .doc = "Which of the objects below describes it."},
    {LOOP(free), .type = GW_FORM_CHOICE, WORDS(FREE_WORDS), DEFAULT(GW_FREE_NOTHING), .doc = "length for the one part that is sized; nothing for the others."},
    {LOOP(bores), .type = GW_FORM_OBJECT, .form = &BORES_FORM, OPTIONAL(0), .doc = "When kind is bores."},
    {LOOP(trench), .type = GW_FORM_OBJECT, .form = &GW_JOB_PRIV_TRENCH, OPTIONAL(0), .doc = "When kind is trench."},
    {LOOP(coil), .type = GW_FORM_OBJECT, .form = &GW_JOB_PRIV_COIL, OPTIONAL(0), .doc = "When kind is coil."},
};

static const gw_form_field LOOP_FIELDS[] = {
    {LOOP(name), .type = GW_FORM_TEXT, .least = 1, .most = 80, REQUIRED, .doc = "As printed beside the other loops."},
    {LOOP(kind), .type = GW_FORM_CHOICE, WORDS(KIND_WORDS), REQUIRED, .doc = "Which of the objects below describes it; mixed takes parts."},
    {LOOP(free), .type = GW_FORM_CHOICE, WORDS(FREE_WORDS), DEFAULT(GW_FREE_LENGTH), .doc = "What the sizing finds: depth or length of each, their number, or nothing (the stated loop is checked). An open well has nothing to find."},
    {LOOP(bores), .type = GW_FORM_OBJECT, .form = &BORES_FORM, OPTIONAL(0), .doc = "When kind is bores."},
    {LOOP(trench), .type = GW_FORM_OBJECT, .form = &GW_JOB_PRIV_TRENCH, OPTIONAL(0), .doc = "When kind is trench."},
    {LOOP(coil), .type = GW_FORM_OBJECT, .form = &GW_JOB_PRIV_COIL, OPTIONAL(0), .doc = "When kind is coil."},
    {LOOP(pond), .type = GW_FORM_OBJECT, .form = &GW_JOB_PRIV_POND, OPTIONAL(0), .doc = "When kind is pond."},
    {LOOP(well), .type = GW_FORM_OBJECT, .form = &GW_JOB_PRIV_WELL, OPTIONAL(0), .doc = "When kind is well."},
    {.key = "parts", .offset = offsetof(gw_loop_plan, mixed.parts), .type = GW_FORM_LIST, .form = &GW_JOB_PRIV_PART, .home = GW_FORM_POINTED, .count_offset = offsetof(gw_loop_plan, mixed.part_count), .least = 2, .most = GW_LOOP_PARTS_MAX, OPTIONAL(0), .doc = "When kind is mixed: closed loops in parallel on one header, laid apart from each other."},
    {LOOP(header_m), QUANTITY(LENGTH), LIMITS(0, 300), USUAL(0, 80), OPTIONAL(-1), .derived = true, .doc = "One way from the field to the house; left out, site.entry_distance_m."},
};
// clang-format on

// Key of the object that describes a kind.
static const char *object_of(gw_loop_kind kind)
{
    return kind == GW_LOOP_MIXED ? "parts" : gw_loop_kind_row_of(kind)->id;
}

// What is not free is given; what is free may be left out.
static void check_free(gw_form_reader *reader, const gw_loop_plan *loop)
{
    const gw_loop_kind_row *const row = gw_loop_kind_row_of(loop->kind);
    char path[48];
    if (row->number != NULL && loop->free != GW_FREE_COUNT && gw_loop_count_of(loop) == 0) {
        snprintf(path, sizeof path, "%s.%s", row->id, row->number);
        gw_form_complain(reader, GW_ERR_MISSING, path,
                         "found no \"%s\", expected it unless \"free\" is \"count\"", row->number);
    }
    if (row->number != NULL && loop->free != GW_FREE_LENGTH && !(gw_loop_each_m(loop) > 0.0)) {
        snprintf(path, sizeof path, "%s.%s", row->id, row->length);
        gw_form_complain(reader, GW_ERR_MISSING, path,
                         "found no \"%s\", expected it unless \"free\" is \"length\"", row->length);
    }
    if (row->number == NULL && loop->free == GW_FREE_COUNT) {
        gw_form_complain(reader, GW_ERR_KEY, "free",
                         "found \"count\" in a loop of kind \"%s\", which has none to find",
                         row->id);
    }
    if (loop->kind == GW_LOOP_BORES && loop->free == GW_FREE_COUNT && loop->bores.place_count > 0) {
        gw_form_complain(reader, GW_ERR_KEY, "bores.places",
                         "found places of bores whose number is free, expected \"free\" to be "
                         "\"length\" or \"nothing\"");
    }
}

// The object that the kind names, and no other.
static bool check_objects(gw_form_reader *reader, gw_loop_kind kind)
{
    const char *const wanted = object_of(kind);
    for (int other = GW_LOOP_BORES; other <= GW_LOOP_MIXED; other++) {
        const char *const key = object_of((gw_loop_kind)other);
        if ((gw_loop_kind)other != kind && gw_form_has(reader, key)) {
            gw_form_complain(reader, GW_ERR_KEY, key,
                             "found \"%s\" in a loop of kind \"%s\", expected only \"%s\"", key,
                             gw_loop_kind_row_of(kind)->id, wanted);
            return false;
        }
    }
    if (!gw_form_has(reader, wanted)) {
        gw_form_complain(reader, GW_ERR_MISSING, wanted,
                         "found no \"%s\" in a loop of kind \"%s\", expected it", wanted,
                         gw_loop_kind_row_of(kind)->id);
        return false;
    }
    return true;
}

static void finish_part(gw_form_reader *reader, void *object)
{
    const gw_loop_plan *const part = object;
    if (!check_objects(reader, part->kind)) {
        return;
    }
    if (part->free == GW_FREE_COUNT) {
        gw_form_complain(reader, GW_ERR_KEY, "free",
                         "found \"count\" in a part, expected \"length\" or \"nothing\"");
        return;
    }
    check_free(reader, part);
}

const gw_form GW_JOB_PRIV_PART = {
    .name = "part",
    .doc = "One part of a mixed loop.",
    .rules = "As a loop of its own; its number is given.",
    .size = sizeof(gw_loop_plan),
    ROWS(PART_FIELDS),
    .finish = finish_part,
};

// At most one part is sized.
static void finish_mixed(gw_form_reader *reader, gw_loop_plan *loop)
{
    gw_mixed_plan *const m = &loop->mixed;
    m->free_part = m->part_count;
    for (size_t i = 0; i < m->part_count; i++) {
        if (m->parts[i].free != GW_FREE_LENGTH) {
            continue;
        }
        if (m->free_part < m->part_count) {
            char path[48];
            snprintf(path, sizeof path, "parts[%zu].free", i);
            gw_form_complain(reader, GW_ERR_KEY, path,
                             "found a second part to be sized, expected the others to be given");
            return;
        }
        m->free_part = i;
    }
}

static void finish_loop(gw_form_reader *reader, void *object)
{
    gw_loop_plan *const loop = object;
    if (!check_objects(reader, loop->kind)) {
        return;
    }
    check_free(reader, loop);
    if (loop->kind == GW_LOOP_MIXED) {
        finish_mixed(reader, loop);
    }
}

const gw_form GW_JOB_PRIV_LOOP = {
    .name = "loop",
    .doc = "One way to lay the loop; several are compared.",
    .rules =
        "The object that kind names, and no other. What is not free is given: count (bundles of "
        "a pond), and depth_m, length_m or bundle_m. At most one part of a mixed loop is sized.",
    .size = sizeof(gw_loop_plan),
    ROWS(LOOP_FIELDS),
    .finish = finish_loop,
};

// ---------------------------------------------------------------- limits

// clang-format off
static const gw_form_field LIMITS_FIELDS[] = {
    {GW_FORM_AT(gw_loop_limits, min_entering_degc), QUANTITY(TEMPERATURE), LIMITS(-15, 15), USUAL(-5, 8), DEFAULT(-1), .doc = "Coldest water allowed into the heat pump."},
    {GW_FORM_AT(gw_loop_limits, max_entering_degc), QUANTITY(TEMPERATURE), LIMITS(15, 50), USUAL(20, 40), DEFAULT(32), .doc = "Warmest water allowed into it."},
    {GW_FORM_AT(gw_loop_limits, years), WHOLE(DOUBLE), LIMITS(1, 60), USUAL(10, 50), DEFAULT(25), .doc = "Horizon over which the limits hold."},
};
// clang-format on

static void finish_limits(gw_form_reader *reader, void *object)
{
    const gw_loop_limits *const limits = object;
    if (!(limits->max_entering_degc > limits->min_entering_degc + 5.0)) {
        gw_form_complain(reader, GW_ERR_RANGE, "max_entering_degc",
                         "found %.1f degC, expected at least 5 K more than min_entering_degc: "
                         "%.1f degC",
                         limits->max_entering_degc, limits->min_entering_degc);
    }
}

const gw_form GW_JOB_PRIV_LIMITS = {
    .name = "limits",
    .doc = "What the loop must hold.",
    .rules = "max_entering_degc is more than 5 K above min_entering_degc.",
    .size = sizeof(gw_loop_limits),
    ROWS(LIMITS_FIELDS),
    .finish = finish_limits,
};
