// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "cli/command.h"

#include <string.h>

const gw_command GW_COMMANDS[] = {
    {"new", "FILE", false, "", "write a starter job to fill in",
     "Writes a job with the keys in working order and good guesses in place. Without FILE it goes "
     "to "
     "standard output. Quantities may be plain SI numbers or carry a unit: \"300 ft\", \"3.5 "
     "ton\", "
     "\"12 USgal/min\", \"45 degF\", \"R-20\".",
     gw_cli_new},
    {"verify", "JOB", true, "", "check a job without designing it",
     "Reads the job and lists everything that is wrong with it, each with path, line, column, what "
     "was "
     "found and what was expected; and what is merely unusual.",
     gw_cli_verify},
    {"design", "JOB", true, "ojuv", "size every loop of the job and answer",
     "Heat loss and hourly loads, every loop sized hour by hour over the horizon together with the "
     "heat "
     "pump, pipes and circulator, installed cost, and a year's energy beside the alternatives. The "
     "answer "
     "comes first, then verdicts, warnings, the defaults used and the cautions.",
     gw_cli_design},
    {"loads", "JOB", true, "ouj", "the load sheet: heat loss and gain by component, month and room",
     "Works out the house alone, no loop: design loss and gain by component and room, the year by "
     "month, the hardest hours, and the fuel bills of the job beside the components, with the "
     "sentence on which to trust.",
     gw_cli_loads},
    {"serve", NULL, false, "psf", "the page: the whole job in the browser, on this machine only",
     "Answers on 127.0.0.1 until Ctrl-C and prints the address to open. Jobs and all their "
     "revisions are kept in one file, ~/.local/share/groundwright/store.db unless --store names "
     "another. Nothing leaves the machine.",
     gw_cli_serve},
    {"papers", "JOB", true, "oud", "draw the permit set and write the reports",
     "Designs the job and writes into the folder given by --output (made when it is not there): "
     "permit.pdf, client.pdf, engineer.pdf, each drawing as SVG, and the plan as DXF in true "
     "measure (metres or feet by --units).",
     gw_cli_papers},
    {"compare", "JOB", true, "ouj", "all loops of the job side by side",
     "Designs each loop by itself and shows length, ground taken, coldest and hottest water, heat "
     "per electricity, pump power, installed and life-cycle cost, and what rules a loop out.",
     gw_cli_compare},
    {"spread", "JOB", true, "ouj", "the same length spread out or crowded, over 50 years",
     "Lays the best loop's length with half the spacing, on half the area, deeper and fewer, and "
     "shows water and ground after 1, 5, 25 and 50 years.",
     gw_cli_spread},
    {"measures", "JOB", true, "ouj", "insulation, windows and air sealing against the loop",
     "Designs the house with each usual envelope measure alone, and with growing sets in the order "
     "in which the next dollar saves most: heat loss, loop, heat pump, energy and life-cycle cost.",
     gw_cli_measures},
    {"uncertainty", "JOB", true, "oujvn", "how sure the answer is",
     "Draws prices, ground, house, weather and heat pump from assumed spreads and runs every draw "
     "through the whole design: ranges, the chance of costing less than each other system, and "
     "what the cost hangs on. With --json --verbose every draw is written.",
     gw_cli_uncertainty},
    {"list", "WHAT", true, "",
     "list built-in stations, soils, pipes, heat-pumps, fluids, fuels or prices",
     "Prints the ids a job may use, one a line.", gw_cli_list},
    {"schema", NULL, false, "o", "print the JSON Schema of a job",
     "An editor that knows JSON Schema checks and explains a job while it is typed.",
     gw_cli_schema},
    {"man", NULL, false, "", "print this program's manual page",
     "The page is made from the same table as the help.", gw_cli_print_man},
};
const size_t GW_COMMAND_COUNT = sizeof GW_COMMANDS / sizeof GW_COMMANDS[0];

typedef struct {
    char flag;
    const char *name;
    const char *text;
} option_row;

static const option_row OPTIONS[] = {
    {'j', "--json", "the whole design as JSON, for machines"},
    {'u', "--units metric|imperial", "units of the answer (metric when not given)"},
    {'v', "--verbose", "also the sizing tries, ground and resistance numbers, and every reason"},
    {'p', "--port N", "answer on that port (8732 when not given; 0: any free one)"},
    {'s', "--store FILE", "keep jobs in that file; it is made when it is not there"},
    {'f', "--open JOB", "put that job file into the store, if it is not there, and show it"},
    {'d', "--paper letter|tabloid|a4|a3|arch-d", "paper of the drawings (tabloid when not given)"},
    {'d', "--level sketch|permit|record", "how far the drawings have come (permit)"},
    {'d', "--scale 1:N", "of the site plan (the largest usual one that fits)"},
    {'d', "--loop N", "the job's loop by number (the best one when not given)"},
    {'n', "--samples N", "that many draws (400 when not given)"},
    {'n', "--seed S", "start of the random numbers (1): the same seed gives the same answer"},
    {'n', "--resize", "size the loop anew in every draw, instead of holding it as designed"},
    {'o', "--output FILE", "write there; the file appears only when complete"},
};
enum { OPTION_COUNT = sizeof OPTIONS / sizeof OPTIONS[0] };

typedef struct {
    gw_exit code;
    const char *text;
} exit_row;

static const exit_row EXITS[] = {
    {GW_EXIT_DONE, "done"},
    {GW_EXIT_NO_LOOP, "designed, but no loop of the job holds its limits on this lot"},
    {GW_EXIT_USAGE, "the command line is not understood"},
    {GW_EXIT_INPUT, "the job, or a file it names, has errors"},
    {GW_EXIT_FILE, "a file cannot be read or written"},
    {GW_EXIT_INTERNAL, "out of memory, or the numbers did not converge"},
};
enum { EXIT_COUNT = sizeof EXITS / sizeof EXITS[0] };

void gw_cli_help(FILE *to)
{
    fprintf(
        to,
        "groundwright: design of ground-source heat pump systems for houses and small buildings\n\n"
        "  groundwright new house.json        start a job\n"
        "  groundwright verify house.json     is it complete and right?\n"
        "  groundwright design house.json     the sized loop, its cost, its verdicts\n"
        "  groundwright serve                 the same in the browser\n\n"
        "Commands (groundwright help COMMAND tells more):\n");
    for (size_t i = 0; i < GW_COMMAND_COUNT; i++) {
        fprintf(to, "  %-11s %-5s %s\n", GW_COMMANDS[i].name,
                GW_COMMANDS[i].operand != NULL ? GW_COMMANDS[i].operand : "",
                GW_COMMANDS[i].summary);
    }
    fprintf(to, "\nOptions:\n");
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        fprintf(to, "  %-25s %s\n", OPTIONS[i].name, OPTIONS[i].text);
    }
    fprintf(to, "\nExit status:\n");
    for (size_t i = 0; i < EXIT_COUNT; i++) {
        fprintf(to, "  %d  %s\n", (int)EXITS[i].code, EXITS[i].text);
    }
    fprintf(to, "\nDesign aid, not a sealed design. Local codes overrule every default.\n");
}

void gw_cli_help_command(FILE *to, const gw_command *c)
{
    fprintf(to, "groundwright %s%s%s%s: %s\n\n%s\n", c->name, c->operand != NULL ? " " : "",
            c->operand != NULL ? c->operand : "", "", c->summary, c->text);
    if (c->flags[0] != '\0') {
        fprintf(to, "\nOptions:\n");
    }
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        if (strchr(c->flags, OPTIONS[i].flag) != NULL) {
            fprintf(to, "  %-25s %s\n", OPTIONS[i].name, OPTIONS[i].text);
        }
    }
}

// Text with the characters that roff takes for its own escaped.
static void man_text(FILE *to, const char *s)
{
    for (; *s != '\0'; s++) {
        if (*s == '-' || *s == '\\') {
            fputc('\\', to);
        }
        fputc(*s, to);
    }
}

void gw_cli_man(FILE *to)
{
    fprintf(to, ".TH GROUNDWRIGHT 1\n.SH NAME\ngroundwright \\- design of ground\\-source heat "
                "pump systems\n"
                ".SH SYNOPSIS\n.B groundwright\n.I command\n.RI [ operand ]\n.RI [ options ]\n.SH "
                "COMMANDS\n");
    for (size_t i = 0; i < GW_COMMAND_COUNT; i++) {
        const gw_command *const c = &GW_COMMANDS[i];
        fprintf(to, ".TP\n.B %s", c->name);
        fprintf(to, "%s%s\n", c->operand != NULL ? " " : "", c->operand != NULL ? c->operand : "");
        man_text(to, c->text);
        fprintf(to, "\n");
    }
    fprintf(to, ".SH OPTIONS\n");
    for (size_t i = 0; i < OPTION_COUNT; i++) {
        fprintf(to, ".TP\n.B ");
        man_text(to, OPTIONS[i].name);
        fprintf(to, "\n");
        man_text(to, OPTIONS[i].text);
        fprintf(to, "\n");
    }
    fprintf(to, ".SH EXIT STATUS\n");
    for (size_t i = 0; i < EXIT_COUNT; i++) {
        fprintf(to, ".TP\n.B %d\n%s\n", (int)EXITS[i].code, EXITS[i].text);
    }
    fprintf(to, ".SH CAUTION\nDesign aid, not a sealed design: an accredited designer and, where "
                "required, a licensed "
                "engineer answers for it. Local codes and bylaws overrule every default.\n");
}
