// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ponds: the film of still water about a pipe.
#include "check.h"
#include "loop/pond.h"

static gw_status run_cylinder(gw_check_call *call, gw_err *err)
{
    (void)err;
    gw_check_give(
        call, "nusselt",
        gw_pond_nusselt(gw_check_number(call, "rayleigh"), gw_check_number(call, "prandtl")));
    return GW_OK;
}

const gw_check_verb gw_verbs_pond[] = {
    {.name = "cylinder_in_water",
     .what = "natural convection about a horizontal cylinder",
     .run = run_cylinder,
     .givens = {{.name = "rayleigh", .kind = GW_QTY_NUMBER},
                {.name = "prandtl", .kind = GW_QTY_NUMBER}},
     .results = {{"nusselt", GW_QTY_NUMBER}}},
    {0},
};
