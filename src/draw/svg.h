// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A scene as an SVG 1.1 file: user units are millimetres, so a length in the file is a length on
// paper. Layers are groups with their name as class. No script, no outside reference, no date.
//
//   st = gw_svg_write(arena, scene, "Site plan", &file, err);
#ifndef GW_DRAW_SVG_H
#define GW_DRAW_SVG_H

#include "draw/scene.h"

gw_status gw_svg_write(gw_arena *arena, const gw_scene *scene, const char *title,
                       gw_file_bytes *out, gw_err *err) GW_MUST_USE;

#endif
