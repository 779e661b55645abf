// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Scenes as a PDF of vector drawings, true to size, and one scene as a PNG picture. Done by cairo
// and Pango; Open Sans, or whatever the font system gives in its place, is embedded. The same
// scenes give the same bytes on the same machine: no date, no random identifier. It is not PDF/A.
//
//   st = gw_pdf_write(arena, &(gw_pdf_pages){scenes, 4, "Permit drawings"}, &file, err);
#ifndef GW_DRAW_CAIRO_H
#define GW_DRAW_CAIRO_H

#include "draw/scene.h"

typedef struct {
    gw_scene *const *scenes; // [count], one page each; sizes may differ
    size_t count;
    const char *title; // of the document
} gw_pdf_pages;

// Errors: GW_ERR_NOMEM, GW_ERR_RANGE (no pages), GW_ERR_IO (cairo gave up; its reason in the text).
gw_status gw_pdf_write(gw_arena *arena, const gw_pdf_pages *pages, gw_file_bytes *out,
                       gw_err *err) GW_MUST_USE;

// dots_per_inch 20 to 600. Errors: as above.
gw_status gw_png_write(gw_arena *arena, const gw_scene *scene, double dots_per_inch,
                       gw_file_bytes *out, gw_err *err) GW_MUST_USE;

#endif
