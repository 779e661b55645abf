// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "groundwright.h"

#include "design/design.h"
#include "report/answer.h"

#include <stdlib.h>

static const size_t MEMORY_CAP = (size_t)1 << 30;

struct groundwright {
    gw_arena *arena;
    gw_units *units;
    const gw_job *job; // NULL: the text has errors
    gw_form_report report;
    gw_err_list later; // what weather, prices and the design found wrong
    gw_weather *weather;
    gw_price_book *prices;
    const gw_design *design;
};

const char *groundwright_version(void)
{
    return GW_VERSION;
}

// Of the kinds of failure only two are not the input's fault.
static groundwright_result result_of(gw_status st)
{
    if (st == GW_OK) {
        return GROUNDWRIGHT_DONE;
    }
    if (st == GW_ERR_CAPACITY) {
        return GROUNDWRIGHT_NO_LOOP;
    }
    return st == GW_ERR_NOMEM || st == GW_ERR_CONVERGE ? GROUNDWRIGHT_FAILED
                                                       : GROUNDWRIGHT_BAD_INPUT;
}

static groundwright_result keep(groundwright *work, gw_status st, const gw_err *err)
{
    if (st != GW_OK && gw_err_list_add(&work->later, err) != GW_OK) {
        return GROUNDWRIGHT_FAILED;
    }
    return result_of(st);
}

groundwright *groundwright_open(const char *job, size_t length)
{
    gw_arena *const arena = gw_arena_create(MEMORY_CAP);
    groundwright *const work = arena != NULL ? gw_arena_alloc(arena, 1, sizeof *work) : NULL;
    gw_err err = {0};
    gw_units *const units = work != NULL ? gw_units_create(&err) : NULL;
    const char *const text = units != NULL ? gw_arena_strndup(arena, job, length) : NULL;
    if (text == NULL) {
        gw_units_destroy(units);
        gw_arena_destroy(arena);
        return NULL;
    }
    *work = (groundwright){.arena = arena, .units = units};
    gw_err_list_init(&work->later, arena);
    const gw_job_source source = {.arena = arena, .units = units, .text = text, .length = length};
    const gw_status st = gw_job_read(&source, &work->job, &work->report, &err);
    if (st != GW_OK) {
        work->job = NULL;
        if (work->report.errors.count == 0) {
            (void)keep(work, st, &err);
        }
    }
    return work;
}

void groundwright_close(groundwright *work)
{
    if (work != NULL) {
        gw_units_destroy(work->units);
        gw_arena_destroy(work->arena);
    }
}

static groundwright_problem problem_of(const gw_err *e, int warning)
{
    return (groundwright_problem){.path = e->field,
                                  .text = e->text,
                                  .line = e->line,
                                  .column = e->column,
                                  .warning = warning};
}

size_t groundwright_problem_count(const groundwright *work)
{
    return work->report.errors.count + work->later.count + work->report.warnings.count;
}

groundwright_problem groundwright_problem_at(const groundwright *work, size_t index)
{
    const gw_err_list *const lists[] = {&work->report.errors, &work->later, &work->report.warnings};
    for (int i = 0; i < 3; i++) {
        if (index < lists[i]->count) {
            return problem_of(&lists[i]->items[index], i == 2);
        }
        index -= lists[i]->count;
    }
    return (groundwright_problem){.path = "", .text = ""};
}

const char *groundwright_weather_name(const groundwright *work)
{
    return work->job != NULL ? work->job->site.weather_file : NULL;
}

const char *groundwright_prices_name(const groundwright *work)
{
    return work->job != NULL ? work->job->money.price_book : NULL;
}

groundwright_result groundwright_give_weather(groundwright *work, const char *text, size_t length)
{
    const char *const name = groundwright_weather_name(work);
    gw_weather *const weather = gw_arena_alloc(work->arena, 1, sizeof *weather);
    if (weather == NULL) {
        return GROUNDWRIGHT_FAILED;
    }
    gw_err err = {0};
    const gw_weather_text file = {name != NULL ? name : "weather", text, length};
    const gw_status st = gw_weather_read_epw(work->arena, file, weather, &err);
    work->weather = st == GW_OK ? weather : NULL;
    return keep(work, st, &err);
}

groundwright_result groundwright_give_prices(groundwright *work, const char *text, size_t length)
{
    const char *const name = groundwright_prices_name(work);
    gw_price_book *const prices = gw_arena_alloc(work->arena, 1, sizeof *prices);
    if (prices == NULL) {
        return GROUNDWRIGHT_FAILED;
    }
    gw_err err = {0};
    const gw_status st =
        gw_price_book_read(work->arena, name != NULL ? name : "prices", text, length, prices, &err);
    work->prices = st == GW_OK ? prices : NULL;
    return keep(work, st, &err);
}

groundwright_result groundwright_run(groundwright *work)
{
    gw_err err = {0};
    if (work->job == NULL) {
        return GROUNDWRIGHT_BAD_INPUT;
    }
    if (groundwright_weather_name(work) != NULL && work->weather == NULL) {
        return keep(work,
                    gw_fail(&err, GW_ERR_MISSING, "site.weather_file",
                            "the weather file %s was not given", groundwright_weather_name(work)),
                    &err);
    }
    if (groundwright_prices_name(work) != NULL && work->prices == NULL) {
        return keep(work,
                    gw_fail(&err, GW_ERR_MISSING, "money.price_book",
                            "the price book %s was not given", groundwright_prices_name(work)),
                    &err);
    }
    const gw_design_input input = {
        .job = work->job, .weather = work->weather, .price_book = work->prices};
    return keep(work, gw_design_run(work->arena, &input, &work->design, &err), &err);
}

const char *groundwright_json(groundwright *work)
{
    const char *text = NULL;
    if (work->design == NULL ||
        gw_design_write_json(work->arena, work->design, &text, NULL) != GW_OK) {
        return NULL;
    }
    return text;
}

const char *groundwright_text(groundwright *work, groundwright_units units)
{
    const char *text = NULL;
    const gw_answer_style style = {.units = units == GROUNDWRIGHT_IMPERIAL ? GW_UNITS_IMPERIAL
                                                                           : GW_UNITS_METRIC};
    if (work->design == NULL ||
        gw_report_answer(work->arena, work->design, style, &text, NULL) != GW_OK) {
        return NULL;
    }
    return text;
}
