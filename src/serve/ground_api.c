// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Ground temperature around one loop of a job: a level map or a vertical section, for any months.
// Nothing is kept: the loop is designed for every request.
#include "serve/serve_priv.h"

#include "design/ground_map.h"

#include <math.h>
#include <string.h>

enum { CELLS_MOST = 4000000, SIDE_MOST = 400, MONTHS_MOST = 720 };

typedef struct {
    const gw_serve_priv_request *request;
    gw_serve_priv_reply *reply;
    const gw_node *root;
    const gw_design *design;
    size_t *months;
    size_t month_count;
    bool cut; // a section
    gw_ground_map map;
    gw_ground_section section;
    double *degc;
} ground;

// ---- the body -----------------------------------------------------------------------------------

static bool refuse(ground *g, const gw_node *at, const char *path, const char *text)
{
    gw_err err = {.line = at != NULL ? at->line : 0, .column = at != NULL ? at->column : 0};
    (void)gw_fail(&err, GW_ERR_TYPE, path, "%s", text);
    gw_serve_priv_refuse_err(g->request, g->reply, 400, &err);
    return false;
}

static bool take_number(ground *g, const gw_node *object, const char *key, double *out)
{
    const gw_node *const node = gw_node_member(object, key);
    if (node == NULL || node->type != GW_NODE_NUMBER) {
        return refuse(g, node, key, "expected a number");
    }
    *out = node->number;
    return true;
}

static bool take_count(ground *g, const gw_node *object, const char *key, size_t *out)
{
    double value = 0.0;
    if (!take_number(g, object, key, &value)) {
        return false;
    }
    if (!(value >= 1.0 && value <= SIDE_MOST && floor(value) == value)) {
        return refuse(g, gw_node_member(object, key), key, "expected a whole number from 1 to 400");
    }
    *out = (size_t)value;
    return true;
}

static bool take_point(ground *g, const gw_node *object, const char *key, gw_lot_point *out)
{
    const gw_node *const node = gw_node_member(object, key);
    if (node == NULL || node->type != GW_NODE_LIST || node->count != 2 ||
        node->items[0].type != GW_NODE_NUMBER || node->items[1].type != GW_NODE_NUMBER) {
        return refuse(g, node, key, "expected [x, y] in metres");
    }
    *out = (gw_lot_point){node->items[0].number, node->items[1].number};
    return true;
}

static bool take_months(ground *g)
{
    const gw_node *const list = gw_node_member(g->root, "months");
    if (list == NULL || list->type != GW_NODE_LIST || list->count < 1 ||
        list->count > MONTHS_MOST) {
        return refuse(g, list, "months", "expected a list of 1 to 720 months, 0 the first");
    }
    g->months = gw_arena_alloc(g->request->arena, list->count, sizeof *g->months);
    if (g->months == NULL) {
        return false;
    }
    for (size_t i = 0; i < list->count; i++) {
        const gw_node *const month = &list->items[i];
        if (month->type != GW_NODE_NUMBER || !(month->number >= 0 && month->number < MONTHS_MOST) ||
            floor(month->number) != month->number) {
            return refuse(g, month, "months", "expected whole numbers from 0");
        }
        g->months[i] = (size_t)month->number;
    }
    g->month_count = list->count;
    return true;
}

static bool take_map(ground *g)
{
    gw_ground_map *const m = &g->map;
    m->months = g->months;
    m->month_count = g->month_count;
    const gw_node *const box = gw_node_member(g->root, "box");
    if (box != NULL &&
        !(take_number(g, box, "west_m", &m->west_m) && take_number(g, box, "east_m", &m->east_m) &&
          take_number(g, box, "south_m", &m->south_m) &&
          take_number(g, box, "north_m", &m->north_m))) {
        return false;
    }
    return take_number(g, g->root, "depth_m", &m->depth_m) &&
           take_count(g, g->root, "nx", &m->nx) && take_count(g, g->root, "ny", &m->ny);
}

static bool take_section(ground *g, const gw_node *node)
{
    gw_ground_section *const s = &g->section;
    s->months = g->months;
    s->month_count = g->month_count;
    return take_point(g, node, "from", &s->from) && take_point(g, node, "to", &s->to) &&
           take_number(g, node, "deep_m", &s->deep_m) && take_count(g, node, "nx", &s->nx) &&
           take_count(g, node, "nz", &s->nz);
}

static bool take_body(ground *g)
{
    gw_err err = {0};
    const gw_serve_priv_request *const r = g->request;
    if (gw_node_read(r->arena, r->body, r->length, &g->root, &err) != GW_OK) {
        if (err.code != GW_ERR_NOMEM) {
            gw_serve_priv_refuse_err(r, g->reply, 400, &err);
        }
        return false;
    }
    const gw_node *const section = gw_node_member(g->root, "section");
    g->cut = section != NULL;
    if (!take_months(g) || !(g->cut ? take_section(g, section) : take_map(g))) {
        return false;
    }
    const size_t cells = g->cut ? g->section.nx * g->section.nz : g->map.nx * g->map.ny;
    return cells * g->month_count <= CELLS_MOST ||
           refuse(g, NULL, "months",
                  "expected at most 4,000,000 cells in all: a coarser grid or fewer months");
}

// ---- the job within the body --------------------------------------------------------------------

// First byte of a value, by line and column (in characters) of the well-formed text.
static const char *value_at(const char *text, const gw_node *node)
{
    for (int line = 1; line < node->line; line++) {
        text = strchr(text, '\n') + 1;
    }
    for (int column = 1; column < node->column; column++) {
        text++;
        while (((unsigned char)*text & 0xC0U) == 0x80U) {
            text++;
        }
    }
    return text;
}

// Length of the object that begins here.
static size_t object_length(const char *text)
{
    size_t depth = 0;
    bool quoted = false;
    const char *s = text;
    do {
        if (quoted && *s == '\\') {
            s++; // and what it escapes
        } else if (quoted) {
            quoted = *s != '"';
        } else {
            quoted = *s == '"';
            depth += *s == '{' ? 1 : 0;
            depth -= *s == '}' ? 1 : 0;
        }
        s++;
    } while (depth > 0);
    return (size_t)(s - text);
}

static const gw_job *one_loop(ground *g, const gw_job *job)
{
    double index = 0.0;
    if (!take_number(g, g->root, "loop", &index)) {
        return NULL;
    }
    if (!(index >= 0.0 && index < (double)job->loop_count && floor(index) == index)) {
        refuse(g, gw_node_member(g->root, "loop"), "loop",
               "expected the index of a loop of the job");
        return NULL;
    }
    gw_job *const own = gw_arena_alloc(g->request->arena, 1, sizeof *own);
    if (own != NULL) {
        *own = *job;
        own->loops = &job->loops[(size_t)index];
        own->loop_count = 1;
    }
    return own;
}

static bool design_loop(ground *g)
{
    const gw_node *const node = gw_node_member(g->root, "job");
    if (node == NULL || node->type != GW_NODE_OBJECT) {
        return refuse(g, node, "job", "expected a job");
    }
    gw_serve_priv_request inner = *g->request;
    char *const body = gw_arena_strndup(inner.arena, inner.body, inner.length);
    if (body == NULL) {
        return false;
    }
    inner.body = value_at(body, node);
    if (*inner.body != '{') {
        return refuse(g, node, "job", "expected text without a byte-order mark");
    }
    inner.length = object_length(inner.body);
    const gw_job *job = NULL;
    gw_form_report report;
    gw_err err = {0};
    gw_status st = gw_serve_priv_read_job(&inner, &job, &report, &err);
    if (st != GW_OK) {
        if (st != GW_ERR_NOMEM) {
            gw_serve_priv_refuse_job(g->request, g->reply, &report);
        }
        return false;
    }
    job = one_loop(g, job);
    if (job == NULL) {
        return false;
    }
    gw_design_input input = {0};
    st = gw_serve_priv_read_files(&inner, job, &input, &err);
    if (st == GW_OK) {
        st = gw_design_run(inner.arena, &input, &g->design, &err);
    }
    if (g->design == NULL) {
        gw_serve_priv_refuse_err(g->request, g->reply, gw_serve_priv_status_of(st), &err);
        return false;
    }
    return true;
}

// ---- the answer ---------------------------------------------------------------------------------

// Hundredths of a degree, 16 bits, low byte first, as base64 (RFC 4648).
static void put_cells(gw_sink *sink, const double *degc, size_t count)
{
    static const char LETTERS[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const size_t bytes = 2 * count;
    char *const text = gw_arena_alloc(sink->arena, (bytes + 2) / 3 * 4 + 1, 1);
    unsigned char *const raw = gw_arena_alloc(sink->arena, bytes + 3, 1);
    if (text == NULL || raw == NULL) {
        sink->failed = true;
        return;
    }
    for (size_t i = 0; i < count; i++) {
        const double clipped = fmin(fmax(100.0 * degc[i], -32767.0), 32767.0);
        const unsigned value = (unsigned)lround(clipped) & 0xFFFFU;
        raw[2 * i] = (unsigned char)(value & 0xFFU);
        raw[2 * i + 1] = (unsigned char)(value >> 8);
    }
    char *out = text;
    for (size_t i = 0; i < bytes; i += 3) {
        const unsigned three =
            (unsigned)raw[i] << 16 | (unsigned)raw[i + 1] << 8 | (unsigned)raw[i + 2];
        *out++ = LETTERS[three >> 18];
        *out++ = LETTERS[three >> 12 & 63U];
        *out++ = i + 1 < bytes ? LETTERS[three >> 6 & 63U] : '=';
        *out++ = i + 2 < bytes ? LETTERS[three & 63U] : '=';
    }
    *out = '\0';
    gw_sink_put(sink, "\"");
    gw_sink_put(sink, text);
    gw_sink_put(sink, "\"");
}

static void put_month(gw_sink *sink, const gw_design_source *source, size_t month)
{
    gw_sink_printf(sink, "{\"month\": %zu, \"year\": %zu, \"calendar_month\": %zu}", month,
                   month / 12 + 1, (source->first_month + month) % 12 + 1);
}

static void put_pair(gw_sink *sink, const char *key, double value)
{
    gw_sink_printf(sink, "\"%s\": ", key);
    gw_sink_number(sink, value);
    gw_sink_put(sink, ", ");
}

static void put_frame(gw_sink *sink, const ground *g)
{
    if (g->cut) {
        put_pair(sink, "deep_m", g->section.deep_m);
        put_pair(sink, "length_m",
                 hypot(g->section.to.x_m - g->section.from.x_m,
                       g->section.to.y_m - g->section.from.y_m));
        gw_sink_printf(sink, "\"nx\": %zu, \"nz\": %zu, ", g->section.nx, g->section.nz);
        return;
    }
    put_pair(sink, "depth_m", g->map.depth_m);
    put_pair(sink, "west_m", g->map.west_m);
    put_pair(sink, "east_m", g->map.east_m);
    put_pair(sink, "south_m", g->map.south_m);
    put_pair(sink, "north_m", g->map.north_m);
    gw_sink_printf(sink, "\"nx\": %zu, \"ny\": %zu, ", g->map.nx, g->map.ny);
}

static void answer(ground *g, const gw_design_source *source)
{
    const size_t cells = g->cut ? g->section.nx * g->section.nz : g->map.nx * g->map.ny;
    gw_sink sink = {.arena = g->request->arena};
    gw_sink_put(&sink, "{\"loop\": ");
    gw_serve_priv_put_text(&sink, g->design->loops[0].name);
    gw_sink_put(&sink, ", ");
    put_frame(&sink, g);
    gw_sink_put(&sink, "\n\"months\": [");
    for (size_t m = 0; m < g->month_count; m++) {
        gw_sink_put(&sink, m > 0 ? ", " : "");
        put_month(&sink, source, g->months[m]);
    }
    gw_sink_put(&sink, "],\n\"centidegc\": [");
    for (size_t m = 0; m < g->month_count; m++) {
        gw_sink_put(&sink, m > 0 ? ",\n" : "");
        put_cells(&sink, g->degc + m * cells, cells);
    }
    gw_sink_put(&sink, "]}\n");
    gw_serve_priv_send(g->reply, 200, &sink);
}

void gw_serve_priv_post_ground(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    ground g = {.request = request, .reply = reply};
    if (!take_body(&g) || !design_loop(&g)) {
        return;
    }
    const size_t cells = g.cut ? g.section.nx * g.section.nz : g.map.nx * g.map.ny;
    g.degc = gw_arena_alloc(request->arena, cells * g.month_count, sizeof *g.degc);
    if (g.degc == NULL) {
        return;
    }
    gw_err err = {0};
    gw_design_source source;
    gw_status st = gw_design_ground_source(request->arena, g.design, 0, &source, &err);
    if (st == GW_OK) {
        st = g.cut ? gw_design_section_ground(request->arena, g.design, 0, &g.section, g.degc, &err)
                   : gw_design_map_ground(request->arena, g.design, 0, &g.map, g.degc, &err);
    }
    if (st != GW_OK) {
        if (st != GW_ERR_NOMEM) {
            gw_serve_priv_refuse_err(request, reply, st == GW_ERR_CONVERGE ? 500 : 400, &err);
        }
        return;
    }
    answer(&g, &source);
}
