// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "report/engineer.h"

#include "draw/bytes.h"
#include "draw/cairo.h"
#include "draw/leaf.h"
#include "report/engineer_priv.h"

#include <string.h>

void gw_engineer_priv_begin(gw_engineer_priv *r, const gw_ruled_column *columns, size_t count)
{
    r->columns = columns;
    r->rows = (gw_ruled_rows){.arena = r->p.arena, .column_count = count};
}

void gw_engineer_priv_row(gw_engineer_priv *r, const char *const *cells)
{
    gw_ruled_add(&r->rows, cells);
}

void gw_engineer_priv_end(gw_engineer_priv *r, bool plain)
{
    r->p.failed = r->p.failed || r->rows.failed;
    gw_leaf_table(&r->leaf, &(gw_ruled){r->columns, r->rows.column_count, r->rows.cells,
                                        r->rows.rows, 0.0, plain});
}

void gw_engineer_priv_begin_list(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {{"", 1.6, GW_ANCHOR_START},
                                              {"", 2.6, GW_ANCHOR_START}};
    gw_engineer_priv_begin(r, COLUMNS, 2);
}

void gw_engineer_priv_pair(gw_engineer_priv *r, const char *name, const char *value)
{
    const char *const cells[] = {name, value};
    gw_ruled_add(&r->rows, cells);
}

void gw_engineer_priv_method(gw_engineer_priv *r, const char *method)
{
    gw_leaf_note(&r->leaf, gw_papers_text(&r->p, "Method: %s", method));
}

// ---------------------------------------------------------------- what was found

static void result(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {{"", 0.7, GW_ANCHOR_START},
                                              {"Question", 2.3, GW_ANCHOR_START},
                                              {"Found", 0.9, GW_ANCHOR_END},
                                              {"Limit", 1.2, GW_ANCHOR_END},
                                              {"Because", 3.0, GW_ANCHOR_START}};
    gw_papers *const p = &r->p;
    gw_leaf_heading(&r->leaf, 1, "1 Result");
    gw_leaf_paragraph(&r->leaf,
                      gw_papers_text(p, "%s: %s. %s", p->loop->name, gw_papers_loop(p),
                                     p->loop->stands ? "Every limit holds."
                                                     : "It does not hold every limit: see below."));
    gw_engineer_priv_begin(r, COLUMNS, 5);
    for (size_t i = 0; i < p->loop->verdicts.count; i++) {
        const gw_verdict *const v = &p->loop->verdicts.items[i];
        const char *const cells[] = {gw_verdict_word(v->state), v->what,
                                     gw_papers_quantity(p, v->kind, v->found),
                                     gw_papers_limit(p, v), v->because};
        gw_engineer_priv_row(r, cells);
    }
    gw_engineer_priv_end(r, false);
    for (size_t i = 0; i < p->design->warnings.count; i++) {
        gw_leaf_bullet(&r->leaf,
                       gw_papers_text(p, "Warning, %s: %s", p->design->warnings.items[i].field,
                                      p->design->warnings.items[i].text));
    }
}

// ---------------------------------------------------------------- appendices

static void defaults(gw_engineer_priv *r)
{
    static const gw_ruled_column COLUMNS[] = {{"Value left out of the job", 2.4, GW_ANCHOR_START},
                                              {"Taken as", 1.0, GW_ANCHOR_START},
                                              {"What it is", 3.2, GW_ANCHOR_START}};
    const gw_job *const job = r->p.design->job;
    gw_leaf_heading(&r->leaf, 1, "A Defaults in use");
    gw_leaf_paragraph(&r->leaf,
                      gw_papers_text(&r->p,
                                     "%zu values were not in the job. Each stands at the value "
                                     "below, in the SI unit of the job document.",
                                     job->default_count));
    gw_engineer_priv_begin(r, COLUMNS, 3);
    for (size_t i = 0; i < job->default_count; i++) {
        const gw_form_default *const d = &job->defaults[i];
        const char *const cells[] = {d->path, d->text, d->field != NULL ? d->field->doc : ""};
        gw_engineer_priv_row(r, cells);
    }
    gw_engineer_priv_end(r, false);
}

// End of an object or list that starts at `open` and holds no other one; NULL when it holds one or
// would be too long for a line.
static const char *short_end(const char *open)
{
    enum { WIDEST = 150 };
    size_t letters = 0;
    for (const char *at = open + 1; *at != '\0'; at++) {
        if (*at == '}' || *at == ']') {
            return letters <= WIDEST ? at : NULL;
        }
        if (*at == '{' || *at == '[') {
            return NULL;
        }
        letters += *at != ' ' && *at != '\n' ? 1 : 0;
    }
    return NULL;
}

// What stands between two brackets, its lines drawn together; blanks inside texts are kept.
// Returns the place before `end`.
static const char *join_lines(gw_bytes *line, const char *from, const char *end)
{
    for (const char *s = from; s < end; s++) {
        if (*s != '\n') {
            gw_bytes_add(line, s, 1);
            continue;
        }
        if (line->length > 0 && line->data[line->length - 1] == ',') {
            gw_bytes_text(line, " ");
        }
        while (s + 1 < end && s[1] == ' ') {
            s++;
        }
    }
    return end - 1;
}

// One line of the job for reading: short objects are drawn together. Moves *at to the next line.
static const char *job_line(gw_papers *p, const char **at)
{
    gw_bytes line = {.arena = p->arena};
    const char *s = *at;
    for (; *s == ' '; s++) {
        gw_bytes_text(&line, "\u00a0\u00a0"); // blanks at which no line is broken
    }
    for (; *s != '\0' && *s != '\n'; s++) {
        gw_bytes_add(&line, s, 1);
        const char *const end = *s == '{' || *s == '[' ? short_end(s) : NULL;
        if (end != NULL) {
            s = join_lines(&line, s + 1, end);
        }
    }
    *at = *s == '\n' ? s + 1 : s;
    p->failed = p->failed || line.failed;
    return line.data != NULL ? line.data : "";
}

// The job document as it was given, with its indentation.
static gw_status inputs(gw_engineer_priv *r, gw_err *err)
{
    const char *text = NULL;
    const gw_status st = gw_job_write(r->p.arena, r->p.design->job, &text, err);
    if (st != GW_OK) {
        return st;
    }
    gw_leaf_heading(&r->leaf, 1, "B The job as given");
    const double size = r->leaf.style.size_mm;
    r->leaf.style.size_mm = 2.3;
    while (*text != '\0') {
        gw_leaf_lines(&r->leaf, job_line(&r->p, &text));
    }
    r->leaf.style.size_mm = size;
    return GW_OK;
}

static void sources(gw_engineer_priv *r)
{
    static const char *const SOURCES[] = {
        "Weather and ground temperature: Kusuda & Achenbach 1965 (NBS Report 8972); station values "
        "as named in section 2.",
        "House: component method; ground floors and basements ISO 13370; infiltration Sherman & "
        "Grimsrud 1980; hourly one-mass model ISO 13790:2008 annex C.",
        "Heat pump: capacity and power linear between rating points; part load factor 1 − Cd (1 − "
        "PLR) (ANSI/AHRI 210/240, 10 CFR 430 appendix M).",
        "Bore resistance: multipole method, Bennet, Claesson & Hellström 1987, Claesson & "
        "Hellström 2011 (HVAC&R Research 17(6)); effective resistance Hellström 1991.",
        "Ground response: finite line sources with mirror images; field solved for equal wall "
        "temperature; history as a sum of exponentials, compared with Claesson & Javed 2012.",
        "Freezing: enthalpy finite volumes over the trench's cross-section.",
        "Fluids: polynomials of Melinder 2010. Pipe friction: Churchill 1977 over all regimes.",
        "Money: NIST Handbook 135 (Fuller & Petersen 1996), ASTM E917; prices as named line by "
        "line.",
        "Handbook check: three-pulse method of Kavanaugh & Rafferty (ASHRAE).",
    };
    gw_leaf_heading(&r->leaf, 1, "C Methods and sources");
    for (size_t i = 0; i < sizeof SOURCES / sizeof SOURCES[0]; i++) {
        gw_leaf_bullet(&r->leaf, SOURCES[i]);
    }
    gw_leaf_heading(&r->leaf, 1, "D Cautions");
    for (size_t i = 0; i < r->p.design->caution_count; i++) {
        gw_leaf_bullet(&r->leaf, r->p.design->cautions[i]);
    }
    gw_leaf_heading(&r->leaf, 1, "E Review");
    static const char *const LINES[] = {"Designer: name, accreditation number, signature, date",
                                        "Reviewing engineer: name, licence, signature, seal, date"};
    for (size_t i = 0; i < 2; i++) {
        const gw_box box = gw_leaf_space(&r->leaf, 20.0);
        gw_sheet_blank(gw_leaf_scene(&r->leaf), (gw_mm){box.at.x, box.at.y + 14.0},
                       0.75 * box.size.w, LINES[i]);
    }
}

gw_status gw_report_engineer_pages(gw_arena *arena, const gw_design *design,
                                   const gw_papers_style *style, gw_pages *out, gw_err *err)
{
    gw_engineer_priv r = {0};
    gw_status st = gw_papers_open(&r.p, arena, design, style, err);
    if (st != GW_OK) {
        return st;
    }
    gw_leaf_open(&r.leaf, arena,
                 &(gw_leaf_style){
                     .paper = gw_papers_report_paper(style->paper),
                     .running = gw_papers_text(&r.p, "%s · design report", design->job->name),
                     .foot = "Design aid, not a sealed design. Local codes and bylaws overrule it.",
                     .size_mm = 3.1});
    gw_leaf_title(&r.leaf, "Design report",
                  gw_papers_text(&r.p, "%s · %s", design->job->name, gw_papers_place(&r.p)));
    result(&r);
    gw_engineer_priv_climate(&r);
    gw_engineer_priv_house(&r);
    gw_engineer_priv_plant(&r);
    gw_engineer_priv_ground(&r);
    gw_engineer_priv_loop(&r);
    gw_engineer_priv_energy(&r);
    gw_engineer_priv_pipes(&r);
    gw_engineer_priv_money(&r);
    defaults(&r);
    st = inputs(&r, err);
    sources(&r);
    if (st == GW_OK) {
        st = gw_leaf_close(&r.leaf, err);
    }
    if (st == GW_OK && r.p.failed) {
        st = gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory writing the design report");
    }
    *out = (gw_pages){r.leaf.scenes, r.leaf.count};
    return st;
}

gw_status gw_report_engineer(gw_arena *arena, const gw_design *design, const gw_papers_style *style,
                             gw_file_bytes *out, gw_err *err)
{
    gw_pages pages = {0};
    const gw_status st = gw_report_engineer_pages(arena, design, style, &pages, err);
    return st == GW_OK
               ? gw_pdf_write(arena, &(gw_pdf_pages){pages.scenes, pages.count, design->job->name},
                              out, err)
               : st;
}
