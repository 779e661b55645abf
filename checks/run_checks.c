// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// run_checks: compares the library with published and independently computed values.
//
//   run_checks FILE.case…      every comparison as a row, then "N passed, N failed"
//   run_checks -f FILE.case…   only the rows that fail
//   run_checks --verbs         what `when` knows: givens, SI units, results
//
// Ends with 1 when a comparison fails or a file cannot be read or is not well formed.
//
// A case file is plain text, one statement a line; '#' starts a comment.
//
//   source   Claesson & Javed 2018, Energies 11:214
//   mark     computed                  (or: read, from memory, common practice, no source)
//   given    ground_w_mk 3.0           before the first case: for all cases of this source
//   case     single U-tube, 115 mm bore
//   when     bore_resistance           the verb
//   given    bore_radius_m 57.5 mm     SI, or with a unit
//   expect   bore_mk_w 0.1303703 within 1e-6 relative
//
// Tolerances: "within 1e-6 relative", "within 0.05 absolute", "within 0.5 %", "within the printed
// digits" (half a unit of the last digit written), "between 3.9 and 4.5", "at least 1.75", "at
// most 4". One looser than 1 %, and every band, needs a line "because …" below it. Several values
// stand one after the other, separated by commas when they carry units. Many cases of one form
// are a table:
//
//   within   density_kg_m3 the printed digits
//   columns  mass_frac temp_degc | density_kg_m3 specific_heat_j_kgk
//   row      0.20      -5        | 1020.8        3926
//
// A "-" in a cell means nothing given, or nothing expected. More in README.md.
#include "case_run.h"
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MARKS_MAX = 4 };

typedef struct {
    bool only_failures;
    size_t passed;
    size_t failed;
    size_t troubles;
    const char *marks[MARKS_MAX];
    size_t per_mark[MARKS_MAX];
} tally;

static void count_mark(tally *sum, const char *mark)
{
    for (size_t i = 0; i < MARKS_MAX; ++i) {
        if (sum->marks[i] == NULL) {
            sum->marks[i] = mark;
        }
        if (sum->marks[i] == mark) { // the reader gives each mark by one address
            ++sum->per_mark[i];
            return;
        }
    }
}

static void print_tolerance(const gw_case_verdict *verdict, char *text, size_t size)
{
    const gw_case_tolerance *tolerance = &verdict->tolerance;
    if (tolerance->kind == GW_CASE_BETWEEN) {
        snprintf(text, size, "%.5g..%.5g", tolerance->low, tolerance->high);
    } else if (tolerance->kind == GW_CASE_RELATIVE) {
        snprintf(text, size, "%.2g rel", tolerance->amount);
    } else {
        snprintf(text, size, "%.2g", verdict->allowed);
    }
}

// Prints `text` cut or filled to `width` columns; bytes of a UTF-8 character count once.
static void print_column(const char *text, size_t width)
{
    size_t columns = 0;
    for (; *text != '\0'; ++text) {
        const bool starts = ((unsigned char)*text & 0xC0U) != 0x80U;
        if (starts && columns == width) {
            break;
        }
        columns += starts ? 1 : 0;
        putchar(*text);
    }
    for (; columns <= width; ++columns) {
        putchar(' ');
    }
}

static void on_verdict(void *context, const gw_case_verdict *verdict)
{
    tally *sum = context;
    sum->passed += verdict->pass ? 1 : 0;
    sum->failed += verdict->pass ? 0 : 1;
    count_mark(sum, verdict->of->mark);
    if (sum->only_failures && verdict->pass) {
        return;
    }
    char source[64], name[160], quantity[80], tolerance[48];
    snprintf(source, sizeof source, "%.*s", (int)strcspn(verdict->of->source, ",;"),
             verdict->of->source);
    snprintf(name, sizeof name, "%s%s%s", verdict->of->name, verdict->row != NULL ? ": " : "",
             verdict->row != NULL ? verdict->row : "");
    snprintf(quantity, sizeof quantity, verdict->count > 1 ? "%s[%zu]" : "%s", verdict->quantity,
             verdict->index + 1);
    print_tolerance(verdict, tolerance, sizeof tolerance);
    print_column(source, 28);
    print_column(name, 44);
    print_column(quantity, 26);
    printf("%13.8g %13.8g %10.2e %-12s %s\n", verdict->expected, verdict->got,
           verdict->got - verdict->expected, tolerance, verdict->pass ? "pass" : "FAIL");
}

static void on_trouble(void *context, const gw_case_file *file, int line, const char *text)
{
    tally *sum = context;
    ++sum->troubles;
    fflush(stdout);
    fprintf(stderr, "%s:%d: %s\n", file->name, line, text);
}

static char *read_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    char *text = NULL;
    if (fseek(file, 0, SEEK_END) == 0) {
        const long size = ftell(file);
        if (size >= 0 && fseek(file, 0, SEEK_SET) == 0) {
            text = calloc((size_t)size + 1, 1);
            if (text != NULL && fread(text, 1, (size_t)size, file) != (size_t)size) {
                free(text);
                text = NULL;
            }
        }
    }
    fclose(file);
    return text;
}

static void run_file(const char *path, gw_units *units, tally *sum)
{
    const gw_case_listener listener = {sum, on_verdict, on_trouble};
    gw_case_file file = {.name = path};
    gw_err err = {0};
    char *text = read_file(path);
    gw_arena *arena = gw_arena_create(0);
    if (text == NULL || arena == NULL) {
        on_trouble(sum, &file, 0, "the file cannot be read");
    } else if (gw_case_read(arena, path, text, &file, &err) != GW_OK ||
               gw_case_run(&file, units, &listener, &err) != GW_OK) {
        on_trouble(sum, &file, err.line, err.text);
    }
    gw_arena_destroy(arena);
    free(text);
}

static const char *kind_text(int kind)
{
    return kind == GW_CHECK_WORD ? "" : gw_quantity_si_unit((gw_quantity_kind)kind);
}

static void print_verb(const gw_check_verb *verb)
{
    printf("%s: %s\n", verb->name, verb->what);
    for (size_t i = 0; i < GW_CHECK_GIVENS_MAX && verb->givens[i].name != NULL; ++i) {
        const gw_check_given *given = &verb->givens[i];
        printf("  given   %-26s %s%s%s", given->name, kind_text(given->kind),
               given->words != NULL ? given->words : "", given->list ? ", one or more" : "");
        if (given->otherwise != NULL) {
            printf(" (else %s)", *given->otherwise == '\0' ? "none" : given->otherwise);
        }
        putchar('\n');
    }
    for (size_t i = 0; i < GW_CHECK_RESULTS_MAX && verb->results[i].name != NULL; ++i) {
        printf("  expect  %-26s %s\n", verb->results[i].name, kind_text(verb->results[i].kind));
    }
}

static int print_verbs(void)
{
    const gw_check_verb *verb = NULL;
    for (size_t i = 0; (verb = gw_check_verb_at(i)) != NULL; ++i) {
        print_verb(verb);
    }
    return EXIT_SUCCESS;
}

static void print_head(void)
{
    print_column("source", 28);
    print_column("case", 44);
    print_column("quantity", 26);
    printf("%13s %13s %10s %-12s %s\n", "expected", "got", "difference", "tolerance", "verdict");
}

static void print_sum(const tally *sum)
{
    for (size_t i = 0; i < MARKS_MAX && sum->marks[i] != NULL; ++i) {
        printf("%s%s: %zu", i > 0 ? "; " : "", sum->marks[i], sum->per_mark[i]);
    }
    putchar('\n');
    if (sum->troubles > 0) {
        printf("%zu troubles in the files or refusals, see above\n", sum->troubles);
    }
    printf("%zu passed, %zu failed\n", sum->passed, sum->failed);
}

int main(int argc, char **argv)
{
    if (argc == 2 && strcmp(argv[1], "--verbs") == 0) {
        return print_verbs();
    }
    tally sum = {.only_failures = argc > 1 && strcmp(argv[1], "-f") == 0};
    const int first = sum.only_failures ? 2 : 1;
    if (first >= argc) {
        fprintf(stderr, "usage: run_checks [-f] FILE.case… | run_checks --verbs\n");
        return EXIT_FAILURE;
    }
    gw_err err = {0};
    gw_units *units = gw_units_create(&err);
    if (units == NULL) {
        fprintf(stderr, "run_checks: %s\n", err.text);
        return EXIT_FAILURE;
    }
    print_head();
    for (int i = first; i < argc; ++i) {
        run_file(argv[i], units, &sum);
    }
    gw_units_destroy(units);
    print_sum(&sum);
    return sum.failed == 0 && sum.troubles == 0 && sum.passed > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
