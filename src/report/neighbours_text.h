// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Section "Neighbours" of the plain-text answer: what the best loop does to the ground at the
// things on the lot. Nothing when the job describes no lot.
#ifndef GW_REPORT_NEIGHBOURS_TEXT_H
#define GW_REPORT_NEIGHBOURS_TEXT_H

#include "design/design.h"
#include "report/prose.h"

void gw_report_neighbours(gw_prose *text, const gw_design *design);

#endif
