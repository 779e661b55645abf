// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A scene, or one view of it in true measure, as a DXF file of the oldest kind that every CAD
// program reads (release 12, ASCII): layers, line types, POLYLINE, CIRCLE, ARC, SOLID, TEXT.
//
// Dimensions and leaders are lines and text, hatches are lines; letters beyond ASCII are written as
// \U+XXXX. The release has no place for units: they stand in a comment and in the caller's file
// name. x runs to the right (east), y up (north). No date, no handles.
//
//   // the plan alone, in metres of the job's own axes
//   st = gw_dxf_write(arena, scene, &(gw_dxf_part){.view = 1, .units = GW_UNITS_METRIC}, &file,
//   err);
#ifndef GW_DRAW_DXF_H
#define GW_DRAW_DXF_H

#include "base/quantity.h"
#include "draw/scene.h"

typedef struct {
    size_t view;          // 0: the whole sheet in mm of paper; else that view in true measure
    gw_unit_system units; // of a view: metres or feet
} gw_dxf_part;

// Errors: GW_ERR_RANGE (no such view), GW_ERR_NOMEM.
gw_status gw_dxf_write(gw_arena *arena, const gw_scene *scene, const gw_dxf_part *part,
                       gw_file_bytes *out, gw_err *err) GW_MUST_USE;

#endif
