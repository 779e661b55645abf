// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Any bytes as a job. What is read is written, read again and written again: both texts are the
// same. What is refused has at least one sentence that says why.
#include "fuzz.h"

#include "job/job.h"

#include <string.h>

static gw_units *units;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    gw_err err = {0};
    units = gw_units_create(&err);
    fuzz_must(units != NULL, "%s", err.text);
    return 0;
}

static const char *written(gw_arena *arena, const gw_job *job)
{
    const char *text = NULL;
    gw_err err = {0};
    fuzz_must(gw_job_write(arena, job, &text, &err) == GW_OK, "%s: %s", err.field, err.text);
    return text;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    gw_arena *const arena = gw_arena_create(FUZZ_ARENA_BYTES);
    gw_err err = {0};
    gw_form_report report = {0};
    const gw_job *job = NULL;
    const gw_job_source source = {arena, units, (const char *)data, length};
    const gw_status st = gw_job_read(&source, &job, &report, &err);
    if (st == GW_OK) {
        const char *const first = written(arena, job);
        const gw_job_source again = {arena, units, first, strlen(first)};
        gw_form_report second = {0};
        const gw_job *copy = NULL;
        fuzz_must(gw_job_read(&again, &copy, &second, &err) == GW_OK, "%s: %s\n%s", err.field,
                  err.text, first);
        fuzz_must(strcmp(first, written(arena, copy)) == 0, "%s", first);
    } else {
        fuzz_must(report.errors.count > 0 || err.text[0] != '\0', "refused without a word");
    }
    gw_arena_destroy(arena);
    return 0;
}
