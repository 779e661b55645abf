// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The page and the example jobs, embedded at build.
#include "serve/serve_priv.h"

#include <stdint.h>
#include <string.h>

#include "web_externs.h"

typedef struct {
    const char *name;
    const char *begin;
    const char *end;
} embedded;

static const embedded PAGES[] = {
#define X(name, begin, end) {name, begin, end},
#include "web_pages.h"
    {NULL, NULL, NULL}, // the end; an empty table is no C
};

static const embedded EXAMPLES[] = {
#include "web_examples.h"
#undef X
    {NULL, NULL, NULL},
};

static const char NOT_BUILT[] =
    "<!doctype html>\n<html lang=\"en\"><meta charset=\"utf-8\"><title>groundwright</title>\n"
    "<h1>The page was not built</h1>\n"
    "<p>This program was built without the folder <code>web/dist</code>. Build the page in "
    "<code>web/</code>, then build the program again.</p>\n"
    "<p>The interface below <code>/api/</code> works: see <code>docs/api.md</code>.</p></html>\n";

typedef struct {
    const char *ending;
    const char *type;
} type_row;

static const type_row TYPES[] = {
    {".html", "text/html; charset=utf-8"},
    {".js", "text/javascript; charset=utf-8"},
    {".mjs", "text/javascript; charset=utf-8"},
    {".css", "text/css; charset=utf-8"},
    {".json", "application/json; charset=utf-8"},
    {".map", "application/json; charset=utf-8"},
    {".webmanifest", "application/manifest+json"},
    {".svg", "image/svg+xml"},
    {".png", "image/png"},
    {".jpg", "image/jpeg"},
    {".ico", "image/x-icon"},
    {".woff2", "font/woff2"},
    {".txt", "text/plain; charset=utf-8"},
    {".wasm", "application/wasm"},
};

static const char *type_of(const char *name)
{
    const char *const dot = strrchr(name, '.');
    for (size_t i = 0; dot != NULL && i < sizeof TYPES / sizeof TYPES[0]; i++) {
        if (strcmp(dot, TYPES[i].ending) == 0) {
            return TYPES[i].type;
        }
    }
    return "application/octet-stream";
}

// FNV-1a, 64 bits: tells one build of a file from another, and guards nothing.
static uint64_t mark_of(const char *text, size_t length)
{
    uint64_t hash = 0xCBF29CE484222325U;
    for (size_t i = 0; i < length; i++) {
        hash = (hash ^ (unsigned char)text[i]) * 0x100000001B3U;
    }
    return hash;
}

size_t gw_serve_priv_example_count(void)
{
    return sizeof EXAMPLES / sizeof EXAMPLES[0] - 1;
}

gw_serve_priv_asset gw_serve_priv_example_at(size_t index)
{
    const embedded *const e = &EXAMPLES[index];
    return (gw_serve_priv_asset){e->name, e->begin, (size_t)(e->end - e->begin)};
}

static void send_page(const gw_serve_priv_request *request, const gw_serve_priv_asset *page,
                      gw_serve_priv_reply *reply)
{
    const char *const mark = gw_arena_printf(request->arena, "%016llx",
                                             (unsigned long long)mark_of(page->text, page->length));
    if (mark != NULL) {
        *reply = (gw_serve_priv_reply){.status = 200,
                                       .type = type_of(page->name),
                                       .text = page->text,
                                       .length = page->length,
                                       .etag = mark,
                                       .may_be_kept = true};
    }
}

bool gw_serve_priv_page(const gw_serve_priv_request *request, gw_serve_priv_reply *reply)
{
    if (request->path[0] != '/') { // "GET ?a=b" has an empty path
        return false;
    }
    const bool is_root = strcmp(request->path, "/") == 0;
    const char *const name = is_root ? "index.html" : request->path + 1;
    for (const embedded *e = PAGES; e->name != NULL; e++) {
        if (strcmp(e->name, name) == 0) {
            const gw_serve_priv_asset page = {e->name, e->begin, (size_t)(e->end - e->begin)};
            send_page(request, &page, reply);
            return true;
        }
    }
    if (is_root) {
        const gw_serve_priv_asset page = {"index.html", NOT_BUILT, sizeof NOT_BUILT - 1};
        send_page(request, &page, reply);
    }
    return is_root;
}
