// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The tables, as the steps that made them. A step that was released is never edited: a change is a
// new step.
#include "store/store_priv.h"

const char *const GW_STORE_PRIV_STEPS[] = {
    // 1: jobs, and revisions that can only be added
    "CREATE TABLE jobs ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT,"
    "  name TEXT NOT NULL,"
    "  revision INTEGER NOT NULL CHECK (revision >= 1),"
    "  created_unix_s INTEGER NOT NULL,"
    "  saved_unix_s INTEGER NOT NULL,"
    "  hidden INTEGER NOT NULL DEFAULT 0 CHECK (hidden IN (0, 1))"
    ") STRICT;"
    "CREATE TABLE revisions ("
    "  job INTEGER NOT NULL REFERENCES jobs (id),"
    "  revision INTEGER NOT NULL CHECK (revision >= 1),"
    "  saved_unix_s INTEGER NOT NULL,"
    "  name TEXT NOT NULL,"
    "  text TEXT NOT NULL,"
    "  PRIMARY KEY (job, revision)"
    ") STRICT;"
    "CREATE TRIGGER revisions_stay BEFORE UPDATE OF job, revision, saved_unix_s, name, text"
    "  ON revisions BEGIN SELECT RAISE (ABORT, 'a revision is never changed'); END;"
    "CREATE TRIGGER revisions_remain BEFORE DELETE"
    "  ON revisions BEGIN SELECT RAISE (ABORT, 'a revision is never removed'); END;"
    "CREATE INDEX jobs_by_time ON jobs (hidden, saved_unix_s);",

    // 2: where a revision comes from; the files that jobs name
    "ALTER TABLE revisions ADD COLUMN note TEXT;"
    "CREATE TABLE files ("
    "  name TEXT NOT NULL PRIMARY KEY,"
    "  saved_unix_s INTEGER NOT NULL,"
    "  content BLOB NOT NULL"
    ") STRICT;",
};

const int GW_STORE_PRIV_VERSION = sizeof GW_STORE_PRIV_STEPS / sizeof GW_STORE_PRIV_STEPS[0];
