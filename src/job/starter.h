// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A first job to change: a small document that reads without error, with its keys in the order in
// which a designer works. What it leaves out has the defaults of docs/job.md.
//
//   fputs(gw_job_starter(), file);
#ifndef GW_STARTER_H
#define GW_STARTER_H

const char *gw_job_starter(void);

#endif
