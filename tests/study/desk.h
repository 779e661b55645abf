// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Example jobs for the tests of the studies.
#ifndef GW_TEST_STUDY_DESK_H
#define GW_TEST_STUDY_DESK_H

#include "design/design.h"

#include "harness.h"

#include <stdio.h>
#include <string.h>

typedef struct {
    gw_arena *arena;
    gw_units *units;
    gw_form_report report;
    gw_err err;
} desk;

static inline void open_desk(desk *d)
{
    memset(d, 0, sizeof *d);
    d->arena = gw_arena_create(0);
    d->units = gw_units_create(&d->err);
    ck_assert(d->units != NULL);
}

static inline void close_desk(desk *d)
{
    gw_units_destroy(d->units);
    gw_arena_destroy(d->arena);
}

// A copy of the example that may be changed.
static inline gw_job *open_job(desk *d, const char *name)
{
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
    ck_assert_msg(gw_job_read(&source, &job, &d->report, &d->err) == GW_OK, "%s: %s", d->err.field,
                  d->err.text);
    gw_job *const copy = gw_arena_alloc(d->arena, 1, sizeof *copy);
    *copy = *job;
    return copy;
}

#define ck_ok(status, d) ck_assert_msg((status) == GW_OK, "%s: %s", (d).err.field, (d).err.text)

#endif
