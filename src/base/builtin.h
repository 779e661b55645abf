// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The data files of data/, embedded in the library at build. Each row of each file has its source.
//
//   gw_builtin_file file;
//   if (gw_builtin("soils.csv", &file)) { st = gw_table_read(arena, file.name, file.text, …); }
#ifndef GW_BUILTIN_H
#define GW_BUILTIN_H

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    const char *name;  // path below data/, e.g. "soils.csv"
    const char *text;  // constant data, followed by a NUL that `length` does not count
    size_t length;
} gw_builtin_file;

// The file of that name; false when there is none.
bool gw_builtin(const char *name, gw_builtin_file *out);

// All files in order of name.
size_t gw_builtin_count(void);
gw_builtin_file gw_builtin_at(size_t index);

#endif
