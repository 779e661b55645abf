// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/sheet.h"

#include "base/text.h"
#include "draw/lettering.h"

#include <string.h>

static const double MARGIN_MM = 9.0;
static const double BLOCK_MM = 31.0; // height of the title block, times scale_of the paper
static const double PAD_MM = 2.0;

// Large sheets are read from farther away: lettering and title block grow with them.
static double scale_of(gw_paper paper)
{
    return gw_paper_size(paper, false).w > 500.0 ? 1.5 : 1.0;
}

typedef struct {
    const char *word;
    const char *name;
    double short_mm;
    double long_mm;
} paper_row;

static const paper_row PAPERS[] = {
#define X(code, word, name, short_mm, long_mm) {word, name, short_mm, long_mm},
    GW_PAPER_LIST(X)
#undef X
};

typedef struct {
    const char *word;
    const char *name;
} level_row;

static const level_row LEVELS[] = {
#define X(code, word, name) {word, name},
    GW_LEVEL_LIST(X)
#undef X
};

const char *gw_paper_word(gw_paper paper)
{
    return PAPERS[paper].word;
}

const char *gw_paper_name(gw_paper paper)
{
    return PAPERS[paper].name;
}

gw_size gw_paper_size(gw_paper paper, bool landscape)
{
    const paper_row *const row = &PAPERS[paper];
    return landscape ? (gw_size){row->long_mm, row->short_mm}
                     : (gw_size){row->short_mm, row->long_mm};
}

static gw_status unknown(const char *what, const char *found, const char *near, gw_err *err)
{
    return gw_fail(err, GW_ERR_KEY, what, "found \"%s\"%s%s%s", found,
                   near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                   near != NULL ? "\"?" : "");
}

gw_status gw_paper_find(const char *word, gw_paper *out, gw_err *err)
{
    const char *words[GW_PAPER_COUNT];
    for (int i = 0; i < GW_PAPER_COUNT; i++) {
        words[i] = PAPERS[i].word;
        if (strcmp(word, words[i]) == 0) {
            *out = (gw_paper)i;
            return GW_OK;
        }
    }
    const size_t near = gw_text_nearest(word, words, GW_PAPER_COUNT);
    return unknown("paper", word, near < GW_PAPER_COUNT ? words[near] : NULL, err);
}

const char *gw_drawing_level_word(gw_drawing_level level)
{
    return LEVELS[level].word;
}

const char *gw_drawing_level_name(gw_drawing_level level)
{
    return LEVELS[level].name;
}

gw_status gw_drawing_level_find(const char *word, gw_drawing_level *out, gw_err *err)
{
    const char *words[GW_LEVEL_COUNT];
    for (int i = 0; i < GW_LEVEL_COUNT; i++) {
        words[i] = LEVELS[i].word;
        if (strcmp(word, words[i]) == 0) {
            *out = (gw_drawing_level)i;
            return GW_OK;
        }
    }
    const size_t near = gw_text_nearest(word, words, GW_LEVEL_COUNT);
    return unknown("level", word, near < GW_LEVEL_COUNT ? words[near] : NULL, err);
}

double gw_sheet_lettering_mm(gw_paper paper)
{
    const double short_mm = PAPERS[paper].short_mm;
    return short_mm < 250.0 ? 2.5 : short_mm < 400.0 ? 2.8 : 4.0;
}

// ---------------------------------------------------------------- title block

static const gw_pen FRAME = {0.5, GW_DASH_NONE, GW_INK};
static const gw_pen RULE = {0.18, GW_DASH_NONE, GW_INK};
static const gw_lettering SMALL = {.size_mm = 1.8, .rgb = GW_GREY};

void gw_sheet_blank(gw_scene *scene, gw_mm at, double width_mm, const char *caption)
{
    gw_scene_line(scene, RULE, at, (gw_mm){at.x + width_mm, at.y});
    gw_scene_text(scene, &SMALL, (gw_mm){at.x, at.y + 2.1}, caption);
}

double gw_sheet_heading(gw_scene *scene, gw_box at, double size_mm, const char *text)
{
    gw_scene_text(scene, &(gw_lettering){.size_mm = size_mm, .bold = true},
                  (gw_mm){at.at.x, at.at.y + GW_LETTER_ASCENT * size_mm}, text);
    const double y = at.at.y + 1.25 * size_mm;
    gw_scene_line(scene, (gw_pen){0.25, GW_DASH_NONE, GW_INK}, (gw_mm){at.at.x, y},
                  (gw_mm){at.at.x + at.size.w, y});
    return 1.75 * size_mm;
}

// Text cut to a width with an ellipsis, so that a long name stays in its field.
static void fitted(gw_scene *scene, const gw_lettering *type, gw_box at, const char *text)
{
    const gw_letter_box box = {at.size.w, type->size_mm, type->bold};
    const gw_letter_lines lines = gw_letter_wrap(gw_scene_arena(scene), text, &box);
    const double step = GW_LETTER_LEADING * type->size_mm;
    for (size_t i = 0; i < lines.count && ((double)i + 0.9) * step <= at.size.h; i++) {
        gw_scene_text(
            scene, type,
            (gw_mm){at.at.x, at.at.y + GW_LETTER_ASCENT * type->size_mm + (double)i * step},
            lines.lines[i]);
    }
}

static void title_fields(gw_scene *scene, const gw_sheet_info *info, gw_box at)
{
    const double k = scale_of(info->paper);
    const gw_lettering big = {.size_mm = 3.6 * k, .bold = true};
    const gw_lettering plain = {.size_mm = 2.5 * k};
    const gw_lettering level = {.size_mm = 2.3 * k, .bold = true, .rgb = GW_ACCENT};
    const double w = at.size.w - 2.0 * PAD_MM;
    const double x = at.at.x + PAD_MM;
    const double y = at.at.y;
    fitted(scene, &big, (gw_box){{x, y + 2.0 * k}, {w, 5.0 * k}}, info->project);
    fitted(scene, &plain, (gw_box){{x, y + 7.0 * k}, {w, 3.6 * k}}, info->place);
    fitted(scene, &big, (gw_box){{x, y + 12.4 * k}, {w, 5.0 * k}}, info->title);
    fitted(scene, &level, (gw_box){{x, y + 17.6 * k}, {w, 3.2 * k}},
           gw_drawing_level_name(info->level));
    if (info->scale != NULL && info->scale[0] != '\0') {
        gw_scene_textf(scene, &plain, (gw_mm){x, y + 23.6 * k}, "Scale %s at %s", info->scale,
                       gw_paper_name(info->paper));
    }
}

static void revisions(gw_scene *scene, gw_box at, double k)
{
    enum { ROWS = 4 };
    static const char *const HEADS[] = {"No.", "Date", "By", "Revision"};
    static const double SHARES[] = {0.0, 0.13, 0.36, 0.52};
    const double row = at.size.h / (ROWS + 1);
    gw_lettering small = SMALL;
    small.size_mm *= k;
    for (int i = 0; i < 4; i++) {
        const double x = at.at.x + SHARES[i] * at.size.w;
        gw_scene_text(scene, &small, (gw_mm){x + 1.0, at.at.y + row - 1.4 * k}, HEADS[i]);
        if (i > 0) {
            gw_scene_line(scene, RULE, (gw_mm){x, at.at.y}, (gw_mm){x, at.at.y + at.size.h});
        }
    }
    for (int i = 1; i <= ROWS; i++) {
        gw_scene_line(scene, RULE, (gw_mm){at.at.x, at.at.y + i * row},
                      (gw_mm){at.at.x + at.size.w, at.at.y + i * row});
    }
}

static void signatures(gw_scene *scene, gw_box at, double k)
{
    static const char *const CAPTIONS[] = {
        "Designer: name, accreditation number",          "Signature", "Date",
        "Engineer, where required: name, licence, seal", "Signature", "Date"};
    static const double LEFT[] = {0.0, 0.52, 0.82};
    static const double WIDE[] = {0.5, 0.28, 0.18};
    const double w = at.size.w - 2.0 * PAD_MM;
    gw_lettering small = SMALL;
    small.size_mm *= k;
    for (int i = 0; i < 6; i++) {
        const double x = at.at.x + PAD_MM + LEFT[i % 3] * w;
        const double y = at.at.y + (i < 3 ? 10.0 : 22.5) * k;
        gw_scene_line(scene, RULE, (gw_mm){x, y}, (gw_mm){x + WIDE[i % 3] * w, y});
        gw_scene_text(scene, &small, (gw_mm){x, y + 2.1 * k}, CAPTIONS[i]);
    }
}

static void sheet_number(gw_scene *scene, const gw_sheet_info *info, gw_box at)
{
    const double k = scale_of(info->paper);
    const double x = at.at.x + 0.5 * at.size.w;
    gw_lettering type = {.size_mm = 1.8 * k, .anchor = GW_ANCHOR_MIDDLE, .rgb = GW_GREY};
    gw_scene_text(scene, &type, (gw_mm){x, at.at.y + 3.6 * k}, "Sheet");
    type = (gw_lettering){.size_mm = 8.0 * k, .bold = true, .anchor = GW_ANCHOR_MIDDLE};
    gw_scene_textf(scene, &type, (gw_mm){x, at.at.y + 15.0 * k}, "%zu", info->number);
    type = (gw_lettering){.size_mm = 2.5 * k, .anchor = GW_ANCHOR_MIDDLE};
    gw_scene_textf(scene, &type, (gw_mm){x, at.at.y + 21.0 * k}, "of %zu", info->count);
}

static void title_block(gw_scene *scene, const gw_sheet_info *info, gw_box at)
{
    // Title, revisions, signatures, number; the wide papers give the title the rest.
    const double k = scale_of(info->paper);
    const double foot = 4.2 * k;
    const double high = at.size.h - foot;
    const double number = 18.0 * k;
    const double revision = 60.0 * k;
    const double sign = at.size.w < 300.0 ? 88.0 : 105.0 * k;
    const double widths[] = {at.size.w - number - revision - sign, revision, sign, number};
    gw_box field[4];
    double x = at.at.x;
    for (int i = 0; i < 4; i++) {
        field[i] = (gw_box){{x, at.at.y}, {widths[i], high}};
        if (i > 0) {
            gw_scene_line(scene, RULE, (gw_mm){x, at.at.y}, (gw_mm){x, at.at.y + high});
        }
        x += widths[i];
    }
    title_fields(scene, info, field[0]);
    revisions(scene, field[1], k);
    signatures(scene, field[2], k);
    sheet_number(scene, info, field[3]);
    gw_scene_line(scene, RULE, (gw_mm){at.at.x, at.at.y + high},
                  (gw_mm){at.at.x + at.size.w, at.at.y + high});
    const char *const caution =
        info->caution != NULL
            ? info->caution
            : "Design aid, not a sealed design. Local codes and bylaws overrule every distance and "
              "limit shown. Locate all services before digging or drilling.";
    gw_scene_text(scene, &(gw_lettering){.size_mm = 2.0 * k, .rgb = GW_WARN},
                  (gw_mm){at.at.x + PAD_MM, at.at.y + at.size.h - 1.3 * k}, caution);
}

gw_box gw_sheet_area(gw_paper paper)
{
    const double inside = 4.0;
    const gw_size size = gw_paper_size(paper, true);
    return (gw_box){{MARGIN_MM + inside, MARGIN_MM + inside},
                    {size.w - 2.0 * (MARGIN_MM + inside),
                     size.h - 2.0 * (MARGIN_MM + inside) - BLOCK_MM * scale_of(paper)}};
}

gw_scene *gw_sheet_begin(gw_arena *arena, const gw_sheet_info *info, gw_box *area)
{
    const gw_size paper = gw_paper_size(info->paper, true);
    gw_scene *const scene = gw_scene_create(arena, paper);
    const gw_box frame = {{MARGIN_MM, MARGIN_MM},
                          {paper.w - 2.0 * MARGIN_MM, paper.h - 2.0 * MARGIN_MM}};
    const double block = BLOCK_MM * scale_of(info->paper);
    const double top = paper.h - MARGIN_MM - block;
    gw_scene_layer(scene, GW_LAYER_SHEET);
    gw_scene_box(scene, &(gw_face){.pen = FRAME}, frame);
    gw_scene_line(scene, FRAME, (gw_mm){MARGIN_MM, top}, (gw_mm){paper.w - MARGIN_MM, top});
    title_block(scene, info, (gw_box){{MARGIN_MM, top}, {frame.size.w, block}});
    gw_scene_layer(scene, GW_LAYER_NOTE);
    *area = gw_sheet_area(info->paper);
    return scene;
}
