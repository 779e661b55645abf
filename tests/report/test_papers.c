// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The papers of the example jobs: true to scale, no lettering over lettering on any paper in either
// system, the same bytes every time, and every figure of the tables known.
#include "draw/dxf.h"
#include "draw/svg.h"
#include "draw/view.h"
#include "report/client.h"
#include "report/engineer.h"
#include "report/permit.h"

#include "harness.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    gw_arena *arena;
    gw_units *units;
    gw_form_report report;
    gw_err err;
    const gw_design *design;
} desk;

static void open_desk(desk *d, const char *name, double years)
{
    memset(d, 0, sizeof *d);
    d->arena = gw_arena_create(0);
    d->units = gw_units_create(&d->err);
    char path[512];
    snprintf(path, sizeof path, "%s/examples/%s.json", GW_SOURCE_DIR, name);
    FILE *const file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s cannot be opened", path);
    enum { MOST = 1 << 16 };
    char *const text = gw_arena_alloc(d->arena, MOST, 1);
    const size_t length = fread(text, 1, MOST - 1, file);
    fclose(file);
    const gw_job_source source = {
        .arena = d->arena, .units = d->units, .text = text, .length = length};
    const gw_job *job = NULL;
    ck_assert_msg(gw_job_read(&source, &job, &d->report, &d->err) == GW_OK, "%s", d->err.text);
    gw_job *const copy = gw_arena_alloc(d->arena, 1, sizeof *copy);
    *copy = *job;
    copy->limits.years = years;
    const gw_design_input input = {.job = copy};
    const gw_status st = gw_design_run(d->arena, &input, &d->design, &d->err);
    ck_assert_msg(st == GW_OK || st == GW_ERR_CAPACITY, "%s", d->err.text);
}

static void close_desk(desk *d)
{
    gw_units_destroy(d->units);
    gw_arena_destroy(d->arena);
}

static const char *const EXAMPLES[] = {"farmhouse", "village", "cottage"};

static void check_scenes(const char *what, gw_scene *const *scenes, size_t count)
{
    gw_err err = {0};
    for (size_t i = 0; i < count; i++) {
        ck_assert_msg(gw_scene_check_text(scenes[i], &err) == GW_OK, "%s, page %zu: %s", what,
                      i + 1, err.text);
    }
}

START_TEST(no_lettering_overlaps_on_any_paper)
{
    desk d;
    open_desk(&d, EXAMPLES[_i], 5.0);
    for (int units = 0; units < 2; units++) {
        for (int paper = 0; paper < GW_PAPER_COUNT; paper++) {
            const gw_papers_style style = {.units = (gw_unit_system)units,
                                           .paper = (gw_paper)paper,
                                           .level = GW_LEVEL_RECORD,
                                           .loop = 1};
            char what[64];
            snprintf(what, sizeof what, "%s %s %d", EXAMPLES[_i], gw_paper_word((gw_paper)paper),
                     units);
            gw_permit_set set;
            ck_assert_msg(gw_report_permit_sheets(d.arena, d.design, &style, &set, &d.err) == GW_OK,
                          "%s: %s", what, d.err.text);
            check_scenes(what, set.scenes, set.count);
            gw_pages pages;
            ck_assert_msg(gw_report_client_pages(d.arena, d.design, &style, &pages, &d.err) ==
                              GW_OK,
                          "%s", d.err.text);
            check_scenes(what, pages.scenes, pages.count);
            ck_assert_msg(gw_report_engineer_pages(d.arena, d.design, &style, &pages, &d.err) ==
                              GW_OK,
                          "%s", d.err.text);
            check_scenes(what, pages.scenes, pages.count);
        }
    }
    close_desk(&d);
}
END_TEST

// The plan's pipes as the SVG file has them, measured with the scale in the title block.
START_TEST(trench_in_the_svg_measures_true)
{
    desk d;
    open_desk(&d, "farmhouse", 5.0);
    const double scales[] = {500.0, 750.0};
    for (size_t i = 0; i < 2; i++) {
        const gw_papers_style style = {.paper = GW_PAPER_TABLOID, .scale = scales[i]};
        gw_permit_set set;
        gw_file_bytes file = {0};
        ck_assert_msg(gw_report_permit_sheets(d.arena, d.design, &style, &set, &d.err) == GW_OK,
                      "%s", d.err.text);
        ck_assert(gw_svg_write(d.arena, set.scenes[0], "plan", &file, &d.err) == GW_OK);
        const gw_design_loop *const loop = &d.design->loops[d.design->best];
        ck_assert(loop->kind == GW_LOOP_TRENCH);
        const double want_mm = 1000.0 * loop->sized.plan.trench.length_m / scales[i];
        const char *at = strstr(file.data, "<g class=\"LOOP-PIPE\"");
        ck_assert(at != NULL);
        const char *const end = strstr(at, "</g>");
        size_t pipes = 0;
        for (at = strstr(at, "points="); at != NULL && at < end; at = strstr(at + 1, "points=")) {
            double x0, y0, x1, y1;
            ck_assert_int_eq(sscanf(at, "points=\"%lf,%lf %lf,%lf\"", &x0, &y0, &x1, &y1), 4);
            ck_assert_double_le(fabs(hypot(x1 - x0, y1 - y0) - want_mm), 0.1);
            pipes++;
        }
        ck_assert_uint_eq(pipes, loop->sized.plan.trench.count * loop->sized.plan.trench.pipes);
        char scale[16];
        snprintf(scale, sizeof scale, "Scale 1:%.0f", scales[i]);
        ck_assert(strstr(file.data, scale) != NULL);
    }
    close_desk(&d);
}
END_TEST

// Circles on the bore layer of the DXF, against the places the simulation had.
START_TEST(bores_in_the_dxf_lie_where_they_were_simulated)
{
    desk d;
    open_desk(&d, "village", 5.0);
    const gw_papers_style style = {.paper = GW_PAPER_A3};
    gw_permit_set set;
    gw_file_bytes file = {0};
    ck_assert_msg(gw_report_permit_sheets(d.arena, d.design, &style, &set, &d.err) == GW_OK, "%s",
                  d.err.text);
    ck_assert(gw_dxf_write(d.arena, set.scenes[0], &(gw_dxf_part){.view = 1}, &file, &d.err) ==
              GW_OK);
    const gw_design_loop *const loop = &d.design->loops[d.design->best];
    const gw_loop_response *const r = &loop->sized.response;
    const char *at = file.data;
    for (size_t i = 0; i + r->pieces <= r->segment_count; i += r->pieces) {
        at = strstr(at + 1, "CIRCLE\n  8\nLOOP-BORE\n");
        ck_assert(at != NULL);
        double x, y;
        ck_assert_int_eq(sscanf(strstr(at, "\n 10\n"), " 10 %lf 20 %lf", &x, &y), 2);
        ck_assert_double_le(fabs(x - r->segments[i].x_m), 1e-4);
        ck_assert_double_le(fabs(y - r->segments[i].y_m), 1e-4);
    }
    close_desk(&d);
}
END_TEST

START_TEST(levels_have_their_sheets)
{
    desk d;
    open_desk(&d, "village", 3.0);
    size_t counts[GW_LEVEL_COUNT];
    for (int level = 0; level < GW_LEVEL_COUNT; level++) {
        const gw_papers_style style = {.paper = GW_PAPER_TABLOID, .level = (gw_drawing_level)level};
        gw_permit_set set;
        ck_assert(gw_report_permit_sheets(d.arena, d.design, &style, &set, &d.err) == GW_OK);
        counts[level] = set.count;
        ck_assert_str_eq(set.names[0], "plan");
    }
    ck_assert_uint_eq(counts[GW_LEVEL_SKETCH], 2);
    ck_assert_uint_gt(counts[GW_LEVEL_PERMIT], 2);
    ck_assert_uint_gt(counts[GW_LEVEL_RECORD], counts[GW_LEVEL_PERMIT]);
    close_desk(&d);
}
END_TEST

START_TEST(same_design_gives_the_same_bytes)
{
    desk d;
    open_desk(&d, "cottage", 3.0);
    const gw_papers_style style = {
        .units = GW_UNITS_IMPERIAL, .paper = GW_PAPER_ARCH_D, .level = GW_LEVEL_PERMIT, .loop = 1};
    gw_file_bytes a = {0};
    gw_file_bytes b = {0};
    ck_assert(gw_report_permit(d.arena, d.design, &style, &a, &d.err) == GW_OK);
    ck_assert(gw_report_permit(d.arena, d.design, &style, &b, &d.err) == GW_OK);
    ck_assert(a.length == b.length && memcmp(a.data, b.data, a.length) == 0);
    ck_assert(gw_report_client(d.arena, d.design, &style, &a, &d.err) == GW_OK);
    ck_assert(memcmp(a.data, "%PDF-", 5) == 0);
    ck_assert(gw_report_engineer(d.arena, d.design, &style, &b, &d.err) == GW_OK);
    ck_assert(memcmp(b.data, "%PDF-", 5) == 0);
    close_desk(&d);
}
END_TEST

START_TEST(impossible_styles_are_refused)
{
    desk d;
    open_desk(&d, "farmhouse", 3.0);
    gw_permit_set set;
    ck_assert(gw_report_permit_sheets(d.arena, d.design, &(gw_papers_style){.scale = 20.0}, &set,
                                      &d.err) == GW_ERR_RANGE);
    ck_assert_str_eq(d.err.field, "scale");
    ck_assert(gw_report_permit_sheets(d.arena, d.design, &(gw_papers_style){.scale = (double)NAN},
                                      &set, &d.err) == GW_ERR_RANGE);
    ck_assert(gw_report_permit_sheets(d.arena, d.design,
                                      &(gw_papers_style){.paper = GW_PAPER_COUNT}, &set,
                                      &d.err) == GW_ERR_RANGE);
    gw_design none = *d.design;
    none.loop_count = 0;
    ck_assert(gw_report_permit_sheets(d.arena, &none, &(gw_papers_style){.scale = 0.0}, &set,
                                      &d.err) == GW_ERR_MISSING);
    gw_papers papers;
    const char *text = NULL;
    ck_assert(gw_papers_open(&papers, d.arena, d.design, &(gw_papers_style){.scale = 0.0},
                             &d.err) == GW_OK);
    ck_assert(gw_papers_value(&papers, "nothing", &text, &d.err) == GW_ERR_KEY);
    close_desk(&d);
}
END_TEST

START_TEST(loops_that_cannot_be_drawn_are_named)
{
    desk d;
    open_desk(&d, "cottage", 1.0);
    gw_papers p;
    gw_papers_style style = {.loop = d.design->loop_count + 1};
    ck_assert(gw_papers_open(&p, d.arena, d.design, &style, &d.err) == GW_ERR_RANGE);
    ck_assert_str_eq(d.err.field, "loop");
    for (size_t i = 0; i < d.design->loop_count; i++) {
        const gw_loop_kind kind = d.design->loops[i].kind;
        style.loop = i + 1;
        const gw_status st = gw_papers_open(&p, d.arena, d.design, &style, &d.err);
        const bool known = kind == GW_LOOP_BORES || kind == GW_LOOP_TRENCH;
        ck_assert(st == (known ? GW_OK : GW_ERR_RANGE));
        ck_assert(known || strstr(d.err.text, "1 \"two bores behind the cottage\"") != NULL);
    }
    close_desk(&d);
}
END_TEST

START_TEST(measures_read_as_on_a_drawing)
{
    desk d;
    open_desk(&d, "cottage", 1.0);
    gw_papers p;
    ck_assert(gw_papers_open(&p, d.arena, d.design,
                             &(gw_papers_style){.units = GW_UNITS_IMPERIAL, .loop = 1},
                             &d.err) == GW_OK);
    ck_assert_str_eq(gw_papers_measure(&p, 3.81), "12′-6″");
    ck_assert_str_eq(gw_papers_measure(&p, 3.655), "12′-0″"); // 11 ft 11.9 in
    ck_assert_str_eq(gw_papers_small(&p, 0.1524), "6 in");
    ck_assert(gw_papers_open(&p, d.arena, d.design,
                             &(gw_papers_style){.units = GW_UNITS_METRIC, .loop = 1},
                             &d.err) == GW_OK);
    ck_assert_str_eq(gw_papers_measure(&p, 3.6576), "3.66 m");
    ck_assert_str_eq(gw_papers_measure(&p, 91.44), "91.4 m");
    ck_assert_str_eq(gw_papers_small(&p, 0.1143), "114.3 mm");
    ck_assert_str_eq(gw_papers_quantity(&p, GW_QTY_TEMPERATURE, -3.6), "−3.6 °C");
    ck_assert_str_eq(gw_papers_amount(&p, 13690.0, "W"), "13.69 kW");
    close_desk(&d);
}
END_TEST

int main(void)
{
    Suite *const suite = suite_create("papers");
    TCase *const tc = tcase_create("papers");
    tcase_set_timeout(tc, 300.0);
    tcase_add_loop_test(tc, no_lettering_overlaps_on_any_paper, 0, 3);
    tcase_add_test(tc, trench_in_the_svg_measures_true);
    tcase_add_test(tc, bores_in_the_dxf_lie_where_they_were_simulated);
    tcase_add_test(tc, levels_have_their_sheets);
    tcase_add_test(tc, same_design_gives_the_same_bytes);
    tcase_add_test(tc, impossible_styles_are_refused);
    tcase_add_test(tc, loops_that_cannot_be_drawn_are_named);
    tcase_add_test(tc, measures_read_as_on_a_drawing);
    suite_add_tcase(suite, tc);
    return harness_run(suite);
}
