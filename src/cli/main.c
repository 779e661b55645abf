// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "cli/command.h"

#include "base/text.h"

#include <string.h>

static const gw_command *find_command(const char *name)
{
    for (size_t i = 0; i < GW_COMMAND_COUNT; i++) {
        if (strcmp(name, GW_COMMANDS[i].name) == 0) {
            return &GW_COMMANDS[i];
        }
    }
    return NULL;
}

static gw_exit unknown_command(const char *name)
{
    enum { ROOM = 32 };
    const char *names[ROOM] = {NULL};
    const size_t count = GW_COMMAND_COUNT < ROOM ? GW_COMMAND_COUNT : ROOM;
    for (size_t i = 0; i < count; i++) {
        names[i] = GW_COMMANDS[i].name;
    }
    const size_t near = gw_text_nearest(name, names, count);
    fprintf(stderr, "groundwright: there is no command \"%s\"", name);
    if (near < count) {
        fprintf(stderr, "; did you mean \"%s\"?", names[near]);
    }
    fprintf(stderr, "\nTry: groundwright --help\n");
    return GW_EXIT_USAGE;
}

static gw_exit usage(const gw_command *command, const char *what, const char *found)
{
    fprintf(stderr, "groundwright %s: %s%s%s\nTry: groundwright help %s\n", command->name, what,
            found != NULL ? " " : "", found != NULL ? found : "", command->name);
    return GW_EXIT_USAGE;
}

// A port as it is usually written, 0 to 65535.
static bool read_port(const char *text, unsigned *out)
{
    const size_t length = strlen(text);
    if (length < 1 || length > 5 || strspn(text, "0123456789") != length) {
        return false;
    }
    unsigned value = 0;
    for (size_t i = 0; i < length; i++) {
        value = 10 * value + (unsigned)(text[i] - '0');
    }
    *out = value;
    return value <= 65535;
}

// The options of `serve`.
static bool take_serve_option(const gw_command *command, const char *arg, const char *value,
                              gw_options *options)
{
    if (strcmp(arg, "--port") == 0 && strchr(command->flags, 'p') != NULL) {
        options->has_port = read_port(value, &options->port);
        return options->has_port;
    }
    if (strcmp(arg, "--store") == 0 && strchr(command->flags, 's') != NULL) {
        options->store = value;
        return true;
    }
    if (strcmp(arg, "--open") == 0 && strchr(command->flags, 'f') != NULL) {
        options->open = value;
        return true;
    }
    return false;
}

// The options of drawings; their values are read by the command.
static bool take_drawing_option(const gw_command *command, const char *arg, const char *value,
                                gw_options *options)
{
    const struct {
        const char *name;
        const char **to;
    } rows[] = {
        {"--paper", &options->paper},
        {"--level", &options->level},
        {"--scale", &options->scale},
        {"--loop", &options->loop}};
    for (size_t i = 0; i < 4 && strchr(command->flags, 'd') != NULL; i++) {
        if (strcmp(arg, rows[i].name) == 0) {
            *rows[i].to = value;
            return true;
        }
    }
    return false;
}

// A whole number without sign, at most `most`.
static bool read_count(const char *text, uint64_t most, uint64_t *out)
{
    const size_t length = strlen(text);
    if (length < 1 || length > 18 || strspn(text, "0123456789") != length) {
        return false;
    }
    uint64_t value = 0;
    for (size_t i = 0; i < length; i++) {
        value = 10 * value + (uint64_t)(text[i] - '0');
    }
    *out = value;
    return value <= most;
}

// The options of draws at random.
static bool take_draw_option(const gw_command *command, const char *arg, const char *value,
                             gw_options *options)
{
    uint64_t number = 0;
    if (strchr(command->flags, 'n') == NULL) {
        return false;
    }
    if (strcmp(arg, "--samples") == 0 && read_count(value, 100000, &number)) {
        options->samples = (size_t)number;
        return number > 0;
    }
    if (strcmp(arg, "--seed") == 0 && read_count(value, UINT64_MAX, &number)) {
        options->seed = number;
        options->has_seed = true;
        return true;
    }
    return false;
}

// Takes one option at args[*i]; false when it is not understood.
static bool take_option(const gw_command *command, char **args, int count, int *i,
                        gw_options *options)
{
    const char *const arg = args[*i];
    const bool has_value = *i + 1 < count;
    if (strcmp(arg, "--json") == 0 && strchr(command->flags, 'j') != NULL) {
        options->json = true;
        return true;
    }
    if (strcmp(arg, "--verbose") == 0 && strchr(command->flags, 'v') != NULL) {
        options->verbose = true;
        return true;
    }
    if (strcmp(arg, "--resize") == 0 && strchr(command->flags, 'n') != NULL) {
        options->resize = true;
        return true;
    }
    if (strcmp(arg, "--output") == 0 && strchr(command->flags, 'o') != NULL && has_value) {
        options->output = args[++*i];
        return true;
    }
    if (strcmp(arg, "--units") == 0 && strchr(command->flags, 'u') != NULL && has_value) {
        const char *const value = args[++*i];
        options->units = strcmp(value, "imperial") == 0 ? GW_UNITS_IMPERIAL : GW_UNITS_METRIC;
        return strcmp(value, "imperial") == 0 || strcmp(value, "metric") == 0;
    }
    if (has_value && (take_serve_option(command, arg, args[*i + 1], options) ||
                      take_drawing_option(command, arg, args[*i + 1], options) ||
                      take_draw_option(command, arg, args[*i + 1], options))) {
        ++*i;
        return true;
    }
    return false;
}

static gw_exit run_command(const gw_command *command, char **args, int count)
{
    gw_options options = {0};
    for (int i = 0; i < count; i++) {
        if (strncmp(args[i], "--", 2) == 0) {
            if (!take_option(command, args, count, &i, &options)) {
                return usage(command, "the option is not understood:", args[i]);
            }
        } else if (options.operand == NULL && command->operand != NULL) {
            options.operand = args[i];
        } else {
            return usage(command, "one argument too many:", args[i]);
        }
    }
    if (command->operand_needed && options.operand == NULL) {
        return usage(command, "expected", command->operand);
    }
    return command->run(&options);
}

static gw_exit help(const char *name)
{
    if (name == NULL) {
        gw_cli_help(stdout);
        return GW_EXIT_DONE;
    }
    const gw_command *const command = find_command(name);
    if (command == NULL) {
        return unknown_command(name);
    }
    gw_cli_help_command(stdout, command);
    return GW_EXIT_DONE;
}

static gw_exit dispatch(int argc, char **argv)
{
    if (argc < 2) {
        gw_cli_help(stderr);
        return GW_EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0) {
        return help(argc > 2 ? argv[2] : NULL);
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("groundwright %s\n", GW_VERSION);
        return GW_EXIT_DONE;
    }
    const gw_command *const command = find_command(argv[1]);
    if (command == NULL) {
        return unknown_command(argv[1]);
    }
    if (argc > 2 && strcmp(argv[2], "--help") == 0) {
        return help(command->name);
    }
    return run_command(command, argv + 2, argc - 2);
}

int main(int argc, char **argv)
{
    return (int)dispatch(argc, argv);
}
