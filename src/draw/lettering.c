// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
#include "draw/lettering.h"

#include <string.h>

// Advance widths in thousandths of the size: U+0020 to U+007E, then U+00A0 to U+00FF.
// clang-format off
static const unsigned short REGULAR[] = {
    260, 267, 401, 646, 572, 823, 730, 221, 296, 296, 552, 572, 245, 322, 266, 367, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 266, 266, 572, 572, 572, 429, 899, 633, 648, 631, 729, 556,
    516, 728, 738, 279, 267, 614, 519, 903, 754, 779, 602, 779, 618, 549, 553, 728, 595, 926, 577,
    560, 571, 329, 367, 329, 542, 448, 577, 556, 613, 476, 613, 561, 339, 548, 614, 253, 253, 525,
    253, 930, 614, 604, 613, 613, 408, 477, 353, 614, 501, 778, 524, 504, 468, 379, 551, 379, 572,
    260, 267, 572, 572, 572, 572, 551, 516, 577, 832, 354, 497, 572, 322, 832, 500, 428, 572, 347,
    347, 577, 619, 655, 266, 227, 347, 375, 497, 780, 780, 780, 429, 633, 633, 633, 633, 633, 633,
    873, 631, 556, 556, 556, 556, 279, 279, 279, 279, 722, 754, 779, 779, 779, 779, 779, 572, 779,
    728, 728, 728, 728, 560, 611, 622, 556, 556, 556, 556, 556, 556, 858, 476, 561, 561, 561, 561,
    253, 253, 253, 253, 596, 614, 604, 604, 604, 604, 604, 572, 604, 614, 614, 614, 614, 504, 613,
    504,
};
static const unsigned short SEMIBOLD[] = {
    260, 276, 436, 646, 571, 862, 740, 243, 317, 317, 548, 571, 267, 322, 275, 390, 571, 571, 571,
    571, 571, 571, 571, 571, 571, 571, 275, 278, 571, 571, 571, 453, 898, 661, 660, 634, 734, 558,
    532, 726, 751, 305, 299, 639, 542, 923, 783, 787, 615, 787, 639, 550, 566, 742, 622, 946, 622,
    592, 575, 330, 390, 330, 537, 429, 592, 580, 623, 495, 623, 576, 363, 556, 635, 279, 279, 572,
    279, 956, 635, 611, 623, 623, 431, 487, 393, 635, 535, 817, 551, 536, 478, 386, 551, 371, 571,
    260, 276, 571, 571, 571, 571, 551, 501, 592, 832, 368, 556, 571, 322, 832, 500, 428, 571, 363,
    363, 592, 639, 655, 275, 216, 363, 381, 556, 830, 830, 830, 453, 661, 661, 661, 661, 661, 661,
    912, 634, 558, 558, 558, 558, 305, 305, 305, 305, 731, 783, 787, 787, 787, 787, 787, 571, 787,
    742, 742, 742, 742, 592, 619, 666, 580, 580, 580, 580, 580, 580, 887, 495, 576, 576, 576, 576,
    279, 279, 279, 279, 607, 635, 611, 611, 611, 611, 611, 571, 611, 635, 635, 635, 635, 536, 623,
    536,
};
// clang-format on

typedef struct {
    unsigned letter;
    unsigned short regular;
    unsigned short semibold;
} odd_letter;

static const odd_letter ODD[] = {
    {0x0152, 923, 948},   // Œ
    {0x0153, 942, 960},   // œ
    {0x0394, 572, 615},   // Δ
    {0x03A3, 567, 580},   // Σ
    {0x03C0, 650, 694},   // π
    {0x2013, 500, 500},   // –
    {0x2014, 1000, 1000}, // —
    {0x2018, 170, 193},   // ‘
    {0x2019, 170, 193},   // ’
    {0x201C, 350, 397},   // “
    {0x201D, 350, 397},   // ”
    {0x2022, 376, 376},   // •
    {0x2026, 784, 819},   // …
    {0x2032, 221, 243},   // ′
    {0x2033, 393, 436},   // ″
    {0x2212, 572, 571},   // −
    {0x221A, 549, 549},   // √
    {0x2248, 572, 571},   // ≈
    {0x2264, 572, 571},   // ≤
    {0x2265, 572, 571},   // ≥
};

enum { ODD_COUNT = sizeof ODD / sizeof ODD[0], LATIN_FIRST = 95, ELSE_WIDTH = 600 };

unsigned gw_letter_next(const char **at)
{
    const unsigned char *const s = (const unsigned char *)*at;
    const unsigned lead = s[0];
    const size_t more = lead < 0x80    ? 0
                        : lead >= 0xF0 ? 3
                        : lead >= 0xE0 ? 2
                        : lead >= 0xC2 ? 1
                                       : 9;
    unsigned letter = more == 0 ? lead : lead & (0x3FU >> more);
    for (size_t i = 1; i <= more; i++) {
        if (more == 9 || (s[i] & 0xC0U) != 0x80U) {
            *at += 1;
            return 0xFFFD;
        }
        letter = letter << 6 | (s[i] & 0x3FU);
    }
    *at += more + 1;
    return letter;
}

static unsigned width_of(unsigned letter, bool bold)
{
    const unsigned short *const table = bold ? SEMIBOLD : REGULAR;
    if (letter >= 0x20 && letter < 0x7F) {
        return table[letter - 0x20];
    }
    if (letter >= 0xA0 && letter <= 0xFF) {
        return table[LATIN_FIRST + letter - 0xA0];
    }
    for (size_t i = 0; i < ODD_COUNT; i++) {
        if (ODD[i].letter == letter) {
            return bold ? ODD[i].semibold : ODD[i].regular;
        }
    }
    return ELSE_WIDTH;
}

static double span_mm(const char *from, const char *to, const gw_letter_box *box)
{
    unsigned sum = 0;
    while (from < to && *from != '\0') {
        sum += width_of(gw_letter_next(&from), box->bold);
    }
    return (double)sum * box->size_mm / 1000.0;
}

double gw_letter_width_mm(const char *text, double size_mm, bool bold)
{
    return span_mm(text, text + strlen(text), &(gw_letter_box){.size_mm = size_mm, .bold = bold});
}

// End of the line that starts at `from`: the last blank that fits, or mid-word when none does.
static const char *line_end(const char *from, const gw_letter_box *box)
{
    const char *best = NULL;
    const char *at = from;
    double wide_mm = 0.0;
    while (*at != '\0' && *at != '\n') {
        if (*at == ' ') {
            best = at;
        }
        const char *const letter = at;
        wide_mm += width_of(gw_letter_next(&at), box->bold) * box->size_mm / 1000.0;
        if (wide_mm > box->width_mm && letter > from) {
            return *letter == ' ' ? letter : best != NULL && best > from ? best : letter;
        }
    }
    return at;
}

gw_letter_lines gw_letter_wrap(gw_arena *arena, const char *text, const gw_letter_box *box)
{
    size_t count = 0;
    const char **lines = NULL;
    for (int pass = 0; pass < 2; pass++) {
        count = 0;
        for (const char *at = text; *at != '\0';) {
            const char *const end = line_end(at, box);
            if (pass == 1) {
                lines[count] = gw_arena_strndup(arena, at, (size_t)(end - at));
                if (lines[count] == NULL) {
                    return (gw_letter_lines){0};
                }
            }
            count++;
            at = *end == ' ' || *end == '\n' ? end + 1 : end;
        }
        if (pass == 0) {
            lines = gw_arena_alloc(arena, count, sizeof *lines);
            if (lines == NULL) {
                return (gw_letter_lines){0};
            }
        }
    }
    return (gw_letter_lines){.lines = lines, .count = count};
}
