// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Whole designs of one year. The input chooses an example job and a list of changes to it: four
// bytes each, which leaf (two), what happens to it, and with what. So nearly every input is a job
// that is well formed, and the engine runs. Whatever it says, it says it properly: a result of the
// four, a problem where the input is bad, and a design that reads as JSON without a number that is
// none.
#include "fuzz.h"

#include "groundwright.h"

#include <dirent.h>
#include <jansson.h>
#include <string.h>

enum { JOBS_MOST = 32, LEAVES_MOST = 4096, CHANGES_MOST = 12 };

static json_t *jobs[JOBS_MOST];
static size_t job_count;

static int by_name(const struct dirent **a, const struct dirent **b)
{
    return strcmp((*a)->d_name, (*b)->d_name);
}

static void load_folder(const char *folder)
{
    struct dirent **names = NULL;
    const int count = scandir(folder, &names, NULL, by_name);
    for (int i = 0; i < count; i++) {
        char path[600];
        snprintf(path, sizeof path, "%s/%s", folder, names[i]->d_name);
        const size_t length = strlen(path);
        json_t *const job = length > 5 && strcmp(path + length - 5, ".json") == 0
                                ? json_load_file(path, 0, NULL)
                                : NULL;
        if (job != NULL && job_count < JOBS_MOST) {
            jobs[job_count++] = job;
        }
        free(names[i]);
    }
    free(names);
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    json_object_seed(1); // the same order every run
    load_folder(GW_SOURCE_DIR "/examples");
    load_folder(GW_SOURCE_DIR "/fuzz/jobs");
    fuzz_must(job_count > 0, "no examples in %s", GW_SOURCE_DIR);
    return 0;
}

// ---------------------------------------------------------------- leaves

// A value in its place: a member of an object, or an element of a list.
typedef struct {
    json_t *in;
    const char *key; // NULL: element
    size_t index;
    json_t *value;
} leaf;

typedef struct {
    leaf at[LEAVES_MOST];
    size_t count;
} leaves;

static void gather(json_t *value, leaves *all);

static void gather_one(json_t *in, const char *key, size_t index, leaves *all)
{
    json_t *const value = key != NULL ? json_object_get(in, key) : json_array_get(in, index);
    if (all->count < LEAVES_MOST) {
        all->at[all->count++] = (leaf){in, key, index, value};
    }
    gather(value, all);
}

static void gather(json_t *value, leaves *all)
{
    const char *key = NULL;
    json_t *member = NULL;
    json_object_foreach(value, key, member)
    {
        gather_one(value, key, 0, all);
    }
    for (size_t i = 0; json_is_array(value) && i < json_array_size(value); i++) {
        gather_one(value, NULL, i, all);
    }
}

static void put(const leaf *at, json_t *value)
{
    if (at->key != NULL) {
        json_object_set_new(at->in, at->key, value);
    } else {
        json_array_set_new(at->in, at->index, value);
    }
}

// ---------------------------------------------------------------- changes

static void scale(const leaf *at, uint8_t with)
{
    static const double FACTORS[] = {0.0, 0.01, 0.1, 0.3, 0.5, 0.8,  0.95, 0.999, 1.001,
                                     1.1, 1.3,  2.0, 3.0, 10., 100., -1.0, 1e-6,  1e6};
    const double factor = FACTORS[with % (sizeof FACTORS / sizeof FACTORS[0])];
    if (json_is_integer(at->value) && with % 2 == 0) {
        put(at, json_integer((json_int_t)((double)json_integer_value(at->value) * factor)));
    } else if (json_is_number(at->value)) {
        put(at, json_real(json_number_value(at->value) * factor));
    } else if (json_is_string(at->value)) {
        char *unit = NULL;
        char text[200];
        const double number = strtod(json_string_value(at->value), &unit);
        if (unit != json_string_value(at->value)) {
            snprintf(text, sizeof text, "%.9g%s", number * factor, unit);
            put(at, json_string(text));
        }
    }
}

static void replace(const leaf *at, uint8_t with)
{
    static const double VALUES[] = {0.0, 1.0,  2.0,  3.0, 0.5,  1e-3,  1e-9, 10.0, 25.0, 60.0,
                                    200, -1.0, -40., 1e4, 8760, 0.999, 1e9,  365,  0.05, 6.0};
    put(at, json_real(VALUES[with % (sizeof VALUES / sizeof VALUES[0])]));
}

// The value of the same key somewhere in another job.
static void graft(const leaf *at, uint8_t with)
{
    static leaves all;
    if (at->key == NULL) {
        return;
    }
    all.count = 0;
    for (size_t i = 0; i < job_count; i++) {
        gather(jobs[(with + i) % job_count], &all);
    }
    size_t skip = with / 8;
    for (size_t pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < all.count; i++) {
            if (all.at[i].key != NULL && strcmp(all.at[i].key, at->key) == 0 && skip-- == 0) {
                put(at, json_deep_copy(all.at[i].value));
                return;
            }
        }
        skip = 0;
    }
}

static void drop(const leaf *at)
{
    if (at->key != NULL) {
        json_object_del(at->in, at->key);
    } else {
        json_array_remove(at->in, at->index);
    }
}

static void change(json_t *job, const uint8_t bytes[static 4])
{
    static leaves all;
    all.count = 0;
    gather(job, &all);
    if (all.count == 0) {
        return;
    }
    const leaf at = all.at[((size_t)bytes[0] << 8 | bytes[1]) % all.count];
    switch (bytes[2] % 8) {
    case 0:
    case 1:
    case 2:
        scale(&at, bytes[3]);
        break;
    case 3:
        replace(&at, bytes[3]);
        break;
    case 4:
    case 5:
        graft(&at, bytes[3]);
        break;
    case 6:
        drop(&at);
        break;
    default:
        if (at.key == NULL && json_array_size(at.in) < 12) {
            json_array_append_new(at.in, json_deep_copy(at.value));
        }
    }
}

// One year and one loop: an input takes a second and not a minute.
static void keep_short(json_t *job, size_t first)
{
    json_t *const limits = json_object_get(job, "limits");
    json_t *const loops = json_object_get(job, "loops");
    if (json_is_object(limits)) {
        json_object_set_new(limits, "years", json_integer(1));
    } else {
        json_object_set_new(job, "limits", json_pack("{s:i}", "years", 1));
    }
    while (json_is_array(loops) && json_array_size(loops) > 1) {
        json_array_remove(loops, first % 2 == 0 ? json_array_size(loops) - 1 : 0);
    }
}

// ---------------------------------------------------------------- running

static void run(const char *text)
{
    groundwright *const work = groundwright_open(text, strlen(text));
    fuzz_must(work != NULL, "no memory");
    const groundwright_result result = groundwright_run(work);
    if (result == GROUNDWRIGHT_DONE || result == GROUNDWRIGHT_NO_LOOP) {
        const char *const design = groundwright_json(work);
        fuzz_must(design != NULL && groundwright_text(work, GROUNDWRIGHT_METRIC) != NULL &&
                      groundwright_text(work, GROUNDWRIGHT_IMPERIAL) != NULL,
                  "a design that cannot be told: %s", text);
        json_error_t why;
        json_t *const read = json_loads(design, JSON_REJECT_DUPLICATES, &why);
        fuzz_must(read != NULL, "line %d: %s\n%s", why.line, why.text, text);
        json_decref(read);
    } else {
        bool told = false;
        for (size_t i = 0; i < groundwright_problem_count(work); i++) {
            const groundwright_problem p = groundwright_problem_at(work, i);
            told = told || (!p.warning && p.text[0] != '\0');
        }
        fuzz_must(told, "result %d without a word: %s", (int)result, text);
        const char *const told_of = groundwright_problem_at(work, 0).text;
        fuzz_must(result == GROUNDWRIGHT_BAD_INPUT || strstr(told_of, "memory") == NULL,
                  "out of memory: %s", text);
    }
    groundwright_close(work);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    if (length < 1) {
        return 0;
    }
    json_t *const job = json_deep_copy(jobs[data[0] % job_count]);
    keep_short(job, data[0] / job_count);
    for (size_t i = 0; i < CHANGES_MOST && 4 * i + 5 <= length; i++) {
        change(job, data + 1 + 4 * i);
    }
    keep_short(job, 0);
    char *const text = json_dumps(job, JSON_INDENT(1));
    json_decref(job);
    if (text != NULL) {
        if (getenv("FUZZ_SHOW") != NULL) {
            puts(text);
        }
        run(text);
    }
    free(text);
    return 0;
}
