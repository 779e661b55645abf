// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Whole files in and out. A file is written beside its name and moved over it when complete, so
// that a failure leaves no half file and keeps the old one.
#ifndef GW_CLI_FILES_H
#define GW_CLI_FILES_H

#include "base/arena.h"

// Errors: GW_ERR_IO (not there, not readable, larger than 64 MiB), GW_ERR_NOMEM.
gw_status gw_file_read(gw_arena *arena, const char *path, const char **text, size_t *length,
                       gw_err *err) GW_MUST_USE;

// Writes to `path`, or to standard output when it is NULL. Errors: GW_ERR_IO.
gw_status gw_file_write(const char *path, const char *text, gw_err *err) GW_MUST_USE;

// The same for bytes of any kind.
gw_status gw_file_write_bytes(const char *path, const char *data, size_t length,
                              gw_err *err) GW_MUST_USE;

// Makes the folder; one that is there already is fine. Errors: GW_ERR_IO.
gw_status gw_folder_make(const char *path, gw_err *err) GW_MUST_USE;

#endif
