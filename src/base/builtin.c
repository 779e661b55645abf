// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "base/builtin.h"

#include <string.h>

#include "builtin_externs.h"

// The lengths are differences of addresses, which C does not take as constants: they are worked
// out on the way out, and the table itself stays read-only.
typedef struct {
    const char *name;
    const char *begin;
    const char *end;
} embedded;

static const embedded FILES[] = {
#define X(name, begin, end) {name, begin, end},
#include "builtin_rows.h"
#undef X
    {NULL, NULL, NULL}, // the end; an empty table is no C
};

size_t gw_builtin_count(void)
{
    return sizeof FILES / sizeof FILES[0] - 1;
}

gw_builtin_file gw_builtin_at(size_t index)
{
    const embedded *const e = &FILES[index];
    return (gw_builtin_file){
        .name = e->name, .text = e->begin, .length = (size_t)(e->end - e->begin)};
}

bool gw_builtin(const char *name, gw_builtin_file *out)
{
    for (size_t i = 0; i < gw_builtin_count(); i++) {
        if (strcmp(FILES[i].name, name) == 0) {
            *out = gw_builtin_at(i);
            return true;
        }
    }
    return false;
}
