// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The commands: one table from which dispatch, help and the man page are made.
#ifndef GW_CLI_COMMAND_H
#define GW_CLI_COMMAND_H

#include "base/arena.h"
#include "base/quantity.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

// What a command ends with; documented in help and man page.
typedef enum {
    GW_EXIT_DONE = 0,
    GW_EXIT_NO_LOOP = 1,
    GW_EXIT_USAGE = 2,
    GW_EXIT_INPUT = 3,
    GW_EXIT_FILE = 4,
    GW_EXIT_INTERNAL = 5,
} gw_exit;

typedef struct {
    const char *operand; // job, name of a list …; NULL: not given
    const char *output;  // --output
    gw_unit_system units;
    const char *store; // --store
    const char *open;  // --open
    unsigned port;     // --port
    bool has_port;
    const char *paper; // --paper, --level, --scale: as typed, or NULL
    const char *level;
    const char *scale;
    const char *loop; // --loop, as typed, or NULL
    size_t samples; // --samples; 0: not given
    uint64_t seed;  // --seed
    bool has_seed;
    bool resize; // --resize
    bool json;
    bool verbose;
} gw_options;

typedef struct {
    const char *name;
    const char *operand; // as shown, "JOB"; NULL: none
    bool operand_needed;
    const char *flags;   // letters of the options it takes: o u j v p s f d n
    const char *summary; // one line
    const char *text;    // a paragraph
    gw_exit (*run)(const gw_options *options);
} gw_command;

extern const gw_command GW_COMMANDS[];
extern const size_t GW_COMMAND_COUNT;

void gw_cli_help(FILE *to);
void gw_cli_help_command(FILE *to, const gw_command *command);
void gw_cli_man(FILE *to);

gw_exit gw_cli_new(const gw_options *options);
gw_exit gw_cli_verify(const gw_options *options);
gw_exit gw_cli_loads(const gw_options *options);
gw_exit gw_cli_design(const gw_options *options);
gw_exit gw_cli_papers(const gw_options *options);
gw_exit gw_cli_compare(const gw_options *options);
gw_exit gw_cli_spread(const gw_options *options);
gw_exit gw_cli_measures(const gw_options *options);
gw_exit gw_cli_uncertainty(const gw_options *options);
gw_exit gw_cli_list(const gw_options *options);
gw_exit gw_cli_schema(const gw_options *options);
gw_exit gw_cli_serve(const gw_options *options);
gw_exit gw_cli_print_man(const gw_options *options);

#endif
