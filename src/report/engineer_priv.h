// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Chapters of the design report, and the tables they are made of.
#ifndef GW_REPORT_ENGINEER_PRIV_H
#define GW_REPORT_ENGINEER_PRIV_H

#include "draw/leaf.h"
#include "report/papers.h"

typedef struct {
    gw_papers p;
    gw_leaf leaf;
    const gw_ruled_column *columns; // of the table being filled
    gw_ruled_rows rows;
} gw_engineer_priv;

// A table: columns, rows, end. The list form has a name and a value in each row.
void gw_engineer_priv_begin(gw_engineer_priv *r, const gw_ruled_column *columns, size_t count);
void gw_engineer_priv_row(gw_engineer_priv *r, const char *const *cells);
void gw_engineer_priv_begin_list(gw_engineer_priv *r);
void gw_engineer_priv_pair(gw_engineer_priv *r, const char *name, const char *value);
void gw_engineer_priv_end(gw_engineer_priv *r, bool plain);

void gw_engineer_priv_method(gw_engineer_priv *r, const char *method);

void gw_engineer_priv_climate(gw_engineer_priv *r);
void gw_engineer_priv_house(gw_engineer_priv *r);
void gw_engineer_priv_plant(gw_engineer_priv *r);
void gw_engineer_priv_ground(gw_engineer_priv *r);
void gw_engineer_priv_loop(gw_engineer_priv *r);
void gw_engineer_priv_energy(gw_engineer_priv *r);
void gw_engineer_priv_pipes(gw_engineer_priv *r);
void gw_engineer_priv_money(gw_engineer_priv *r);

#endif
