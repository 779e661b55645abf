// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Designs one job file and prints the answer.
//
//   cc design.c $(pkg-config --cflags --libs groundwright) -o design
//   ./design house.json
#include <groundwright.h>

#include <stdio.h>
#include <stdlib.h>

// The whole file, or NULL; the caller frees it.
static char *read_file(const char *path, size_t *length)
{
    const size_t most = (size_t)64 << 20;
    size_t size = (size_t)1 << 16;
    char *text = malloc(size);
    FILE *const file = fopen(path, "rb");
    *length = 0;
    while (file != NULL && text != NULL) {
        *length += fread(text + *length, 1, size - *length, file);
        if (*length < size || size >= most) {
            break;
        }
        size *= 2;
        char *const larger = realloc(text, size);
        if (larger == NULL) {
            free(text);
        }
        text = larger;
    }
    if (file == NULL || ferror(file)) {
        free(text);
        text = NULL;
    }
    if (file != NULL) {
        fclose(file);
    }
    return text;
}

// Files that the job names are found by the caller: here, beside where the program runs.
static void give_file(groundwright *work, const char *name,
                      groundwright_result (*give)(groundwright *, const char *, size_t))
{
    size_t length = 0;
    char *const text = name != NULL ? read_file(name, &length) : NULL;
    if (text != NULL) {
        give(work, text, length); // what is wrong with it is among the problems
    }
    free(text);
}

int main(int argc, char **argv)
{
    size_t length = 0;
    char *const text = argc == 2 ? read_file(argv[1], &length) : NULL;
    if (text == NULL) {
        fprintf(stderr, "usage: design JOB\n");
        return 2;
    }
    groundwright *const work = groundwright_open(text, length);
    free(text); // the library has its own copy
    if (work == NULL) {
        fprintf(stderr, "out of memory\n");
        return GROUNDWRIGHT_FAILED;
    }
    give_file(work, groundwright_weather_name(work), groundwright_give_weather);
    give_file(work, groundwright_prices_name(work), groundwright_give_prices);
    const groundwright_result result = groundwright_run(work);
    const char *const answer = groundwright_text(work, GROUNDWRIGHT_METRIC);
    if (answer != NULL) {
        fputs(answer, stdout);
    }
    for (size_t i = 0; i < groundwright_problem_count(work); i++) {
        const groundwright_problem p = groundwright_problem_at(work, i);
        fprintf(stderr, "%s:%d:%d: %s%s: %s\n", argv[1], p.line, p.column,
                p.warning ? "unusual: " : "", p.path, p.text);
    }
    groundwright_close(work);
    return (int)result;
}
