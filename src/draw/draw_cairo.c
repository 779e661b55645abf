// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The one file that knows cairo and Pango.
#include "draw/cairo.h"

#include "draw/bytes.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <math.h>
#include <pango/pangocairo.h>

#define PI 3.14159265358979323846

#if defined(__SANITIZE_ADDRESS__)
// Fontconfig keeps a default once it has been asked and has no owner for it: not a leak of ours.
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:libfontconfig\n";
}
#endif

static const double POINTS_PER_MM = 72.0 / 25.4;

typedef struct {
    cairo_t *cr; // in mm
    PangoLayout *layout;
    PangoFontDescription *fonts[2]; // regular, semibold; 100 units to the em
} writer;

enum { EM_UNITS = 100 };

static void set_colour(cairo_t *cr, uint32_t rgb)
{
    cairo_set_source_rgb(cr, (double)(rgb >> 16 & 0xFFU) / 255.0,
                         (double)(rgb >> 8 & 0xFFU) / 255.0, (double)(rgb & 0xFFU) / 255.0);
}

static void shape(void *context, const gw_item *item)
{
    const writer *const w = context;
    cairo_t *const cr = w->cr;
    cairo_new_path(cr);
    if (item->kind == GW_ITEM_ARC) {
        const double start = -item->start_deg * PI / 180.0;
        cairo_arc_negative(cr, item->points[0].x, item->points[0].y, item->radius_mm, start,
                           start - item->sweep_deg * PI / 180.0);
    } else {
        for (size_t i = 0; i < item->count; i++) {
            cairo_line_to(cr, item->points[i].x, item->points[i].y);
        }
    }
    if (item->closed) {
        cairo_close_path(cr);
    }
    if (item->face.filled) {
        set_colour(cr, item->face.fill);
        cairo_fill_preserve(cr);
    }
    if (item->face.pen.width_mm > 0.0) {
        const double *lengths_mm;
        const size_t count = gw_dash_pattern(item->face.pen.dash, &lengths_mm);
        cairo_set_dash(cr, lengths_mm, (int)count, 0.0);
        cairo_set_line_width(cr, item->face.pen.width_mm);
        set_colour(cr, item->face.pen.rgb);
        cairo_stroke_preserve(cr);
    }
    cairo_new_path(cr);
}

static void lettering(void *context, const gw_item *item)
{
    const writer *const w = context;
    cairo_t *const cr = w->cr;
    pango_layout_set_font_description(w->layout, w->fonts[item->type.bold ? 1 : 0]);
    pango_layout_set_text(w->layout, item->text, -1);
    PangoLayoutLine *const line = pango_layout_get_line_readonly(w->layout, 0);
    PangoRectangle logical;
    pango_layout_line_get_extents(line, NULL, &logical);
    const double found = (double)logical.width / PANGO_SCALE;
    const double scale = item->type.size_mm / EM_UNITS;
    // Another font than the one laid out with is squeezed or spread to the same width.
    const double want = item->width_mm / scale;
    const double stretch = found > 0.0 && fabs(found - want) > 0.001 * want ? want / found : 1.0;
    const double share = item->type.anchor == GW_ANCHOR_START    ? 0.0
                         : item->type.anchor == GW_ANCHOR_MIDDLE ? 0.5
                                                                 : 1.0;
    cairo_save(cr);
    cairo_translate(cr, item->points[0].x, item->points[0].y);
    cairo_rotate(cr, -item->type.angle_deg * PI / 180.0);
    cairo_translate(cr, -share * item->width_mm, 0.0);
    cairo_scale(cr, scale * stretch, scale);
    set_colour(cr, item->type.rgb);
    cairo_move_to(cr, 0.0, 0.0);
    pango_cairo_show_layout_line(cr, line);
    cairo_restore(cr);
    cairo_new_path(cr);
}

static PangoFontDescription *font(PangoWeight weight)
{
    PangoFontDescription *const f = pango_font_description_new();
    pango_font_description_set_family(f, "Open Sans,Noto Sans,DejaVu Sans,sans-serif");
    pango_font_description_set_weight(f, weight);
    pango_font_description_set_absolute_size(f, (double)EM_UNITS * PANGO_SCALE);
    return f;
}

static void open_writer(writer *w, cairo_surface_t *surface, double units_per_mm)
{
    w->cr = cairo_create(surface);
    cairo_scale(w->cr, units_per_mm, units_per_mm);
    cairo_set_line_join(w->cr, CAIRO_LINE_JOIN_ROUND);
    // A font map of its own: the one that Pango keeps for the thread would never be freed.
    PangoFontMap *const map = pango_cairo_font_map_new();
    PangoContext *const context = pango_font_map_create_context(map);
    w->layout = pango_layout_new(context);
    g_object_unref(context);
    g_object_unref(map);
    cairo_font_options_t *const options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(pango_layout_get_context(w->layout), options);
    cairo_font_options_destroy(options);
    // As measured: no kerning, no ligatures.
    PangoAttrList *const attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_font_features_new("kern=0, liga=0, clig=0"));
    pango_layout_set_attributes(w->layout, attributes);
    pango_attr_list_unref(attributes);
    w->fonts[0] = font(PANGO_WEIGHT_NORMAL);
    w->fonts[1] = font(PANGO_WEIGHT_SEMIBOLD);
}

static void close_writer(writer *w)
{
    pango_font_description_free(w->fonts[0]);
    pango_font_description_free(w->fonts[1]);
    g_object_unref(w->layout);
    cairo_destroy(w->cr);
}

static void draw_scene(writer *w, const gw_scene *scene)
{
    gw_scene_walk(scene, &(gw_back_end){.context = w, .shape = shape, .lettering = lettering});
}

static cairo_status_t take_bytes(void *closure, const unsigned char *data, unsigned length)
{
    gw_bytes *const out = closure;
    gw_bytes_add(out, data, length);
    return out->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

static gw_status outcome(const gw_bytes *bytes, cairo_status_t status, gw_file_bytes *out,
                         gw_err *err)
{
    if (bytes->failed || status == CAIRO_STATUS_NO_MEMORY) {
        return gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing a drawing");
    }
    if (status != CAIRO_STATUS_SUCCESS) {
        return gw_fail(err, GW_ERR_IO, NULL, "cairo could not write the drawing: %s",
                       cairo_status_to_string(status));
    }
    *out = (gw_file_bytes){bytes->data, bytes->length};
    return GW_OK;
}

gw_status gw_pdf_write(gw_arena *arena, const gw_pdf_pages *pages, gw_file_bytes *out, gw_err *err)
{
    if (pages->count == 0) {
        return gw_fail(err, GW_ERR_RANGE, "pages", "found no page, expected one or more");
    }
    gw_bytes bytes = {.arena = arena};
    const gw_size first = gw_scene_paper(pages->scenes[0]);
    cairo_surface_t *const surface = cairo_pdf_surface_create_for_stream(
        take_bytes, &bytes, first.w * POINTS_PER_MM, first.h * POINTS_PER_MM);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, pages->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "groundwright");
    // Not a date: cairo then writes none, and the file depends on nothing but the drawing.
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "none");
    writer w;
    open_writer(&w, surface, POINTS_PER_MM);
    for (size_t i = 0; i < pages->count; i++) {
        const gw_size paper = gw_scene_paper(pages->scenes[i]);
        cairo_pdf_surface_set_size(surface, paper.w * POINTS_PER_MM, paper.h * POINTS_PER_MM);
        draw_scene(&w, pages->scenes[i]);
        cairo_show_page(w.cr);
    }
    close_writer(&w);
    cairo_surface_finish(surface);
    const cairo_status_t status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return outcome(&bytes, status, out, err);
}

gw_status gw_png_write(gw_arena *arena, const gw_scene *scene, double dots_per_inch,
                       gw_file_bytes *out, gw_err *err)
{
    if (!(dots_per_inch >= 20.0 && dots_per_inch <= 600.0)) {
        return gw_fail(err, GW_ERR_RANGE, "dots_per_inch", "found %g, expected 20 to 600",
                       dots_per_inch);
    }
    gw_bytes bytes = {.arena = arena};
    const gw_size paper = gw_scene_paper(scene);
    const double dots_per_mm = dots_per_inch / 25.4;
    cairo_surface_t *const surface = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, (int)ceil(paper.w * dots_per_mm), (int)ceil(paper.h * dots_per_mm));
    writer w;
    open_writer(&w, surface, dots_per_mm);
    cairo_set_source_rgb(w.cr, 1.0, 1.0, 1.0);
    cairo_paint(w.cr);
    draw_scene(&w, scene);
    close_writer(&w);
    cairo_status_t status = cairo_surface_status(surface);
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_write_to_png_stream(surface, take_bytes, &bytes);
    }
    cairo_surface_destroy(surface);
    return outcome(&bytes, status, out, err);
}
