// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Reading: split number and unit, spell the unit in the words of udunits2, check the dimension,
// convert. Printing: the table of kinds in the header.
#include "base/quantity.h"

#include "base/text.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <udunits2.h>

// ---------------------------------------------------------------- kinds

typedef struct {
    const char *name;
    const char *si_unit;
    gw_print_unit print[2];
} kind_row;

// The example that an error message shows for each dimension.
static const char *example_of(const char *si_unit)
{
    static const char *const EXAMPLES[][2] = {
        {"1", "0.35"},
        {"m", "\"300 ft\""},
        {"m2", "\"1500 ft2\""},
        {"m3", "\"12000 ft3\""},
        {"degC", "\"45 degF\""},
        {"K", "\"10 K\""},
        {"W", "\"3.5 ton\""},
        {"J", "\"12000 kWh\""},
        {"m3/s", "\"12 gpm\""},
        {"W/m/K", "\"1.2 Btu/(h ft degF)\""},
        {"m2/s", "\"0.9 ft2/day\""},
        {"J/m3/K", "\"2.2 MJ/(m3 K)\""},
        {"m2.K/W", "\"R-20\""},
        {"W/m2/K", "\"0.30 Btu/(h ft2 degF)\""},
        {"W/K", "\"400 Btu/(h degF)\""},
        {"m.K/W", "\"0.2 h ft degF/Btu\""},
        {"W/m", "\"50 W/m\""},
        {"Pa", "\"30 psi\""},
        {"m/s", "\"2 ft/s\""},
        {"Pa.s", "\"3 cP\""},
        {"kg/m3", "\"100 lb/ft3\""},
        {"kg", "\"50 lb\""},
        {"s", "\"24 h\""},
        {"degree", "\"180 degree\""},
        {"W/m2", "\"800 W/m2\""},
    };
    for (size_t i = 0; i < sizeof EXAMPLES / sizeof EXAMPLES[0]; i++) {
        if (strcmp(EXAMPLES[i][0], si_unit) == 0) {
            return EXAMPLES[i][1];
        }
    }
    return "a number";
}

static const kind_row KINDS[GW_QTY_COUNT] = {
#define X(kind, si, mu, mf, mo, md, iu, jf, jo, jd)                                                \
    [GW_QTY_##                                                                                     \
        kind] = {.name = #kind, .si_unit = (si), .print = {{mu, mf, mo, md}, {iu, jf, jo, jd}}},
    GW_QUANTITY_LIST(X)
#undef X
};

const char *gw_quantity_si_unit(gw_quantity_kind kind)
{
    return KINDS[kind].si_unit;
}

const char *gw_quantity_name(gw_quantity_kind kind)
{
    return KINDS[kind].name;
}

gw_print_unit gw_quantity_print_unit(gw_quantity_kind kind, gw_unit_system system)
{
    return KINDS[kind].print[system == GW_UNITS_IMPERIAL ? 1 : 0];
}

// ---------------------------------------------------------------- spelling

// The trade's words in those of udunits2. `kinds` limits a word to one meaning: a ton is a rate of
// cooling where power is meant, and a mass elsewhere.
typedef struct {
    const char *word;
    const char *spelled;
    enum { ANYWHERE, IN_POWER } where;
} alias;

static const alias ALIASES[] = {
    {"ton", "refrigeration_ton", IN_POWER},
    {"tons", "refrigeration_ton", IN_POWER},
    {"TR", "refrigeration_ton", IN_POWER},
    {"gpm", "(231 inch3)/min", ANYWHERE},
    {"GPM", "(231 inch3)/min", ANYWHERE},
    {"USgpm", "(231 inch3)/min", ANYWHERE},
    {"USGPM", "(231 inch3)/min", ANYWHERE},
    {"USgal", "(231 inch3)", ANYWHERE},
    {"gal", "(231 inch3)", ANYWHERE},
    {"gallon", "(231 inch3)", ANYWHERE}, // udunits2 rounds its own to seven digits
    {"gallons", "(231 inch3)", ANYWHERE},
    {"cfm", "ft3/min", ANYWHERE},
    {"kWh", "kW.hour", ANYWHERE},
    {"MWh", "MW.hour", ANYWHERE},
    {"Wh", "W.hour", ANYWHERE},
    {"Btuh", "Btu/hour", ANYWHERE},
    {"BTUH", "Btu/hour", ANYWHERE},
    {"btu", "Btu", ANYWHERE},
    {"BTU", "Btu", ANYWHERE},
    {"h", "hour", ANYWHERE},
    {"hr", "hour", ANYWHERE},
    {"min", "minute", ANYWHERE},
    {"cP", "mPa.s", ANYWHERE},
    {"cord", "(128 ft3)", ANYWHERE},
    {"acre", "(43560 ft2)", ANYWHERE},
    {"acres", "(43560 ft2)", ANYWHERE},
    {"ha", "hectare", ANYWHERE},
    {"feet", "ft", ANYWHERE},
    {"sqft", "ft2", ANYWHERE},
    {"lbs", "lb", ANYWHERE},
    {"deg", "degree", ANYWHERE},
};

// Degrees stand alone as a temperature; inside a compound unit, or where a difference is meant,
// they are kelvins or degrees Rankine (same size, no offset).
static const char *degree_word(const char *word, bool is_difference)
{
    static const char *const CELSIUS[] = {"degC", "C", "celsius", "Celsius"};
    static const char *const FAHRENHEIT[] = {"degF", "F", "fahrenheit", "Fahrenheit"};
    for (size_t i = 0; i < 4; i++) {
        if (strcmp(word, CELSIUS[i]) == 0) {
            return is_difference ? "K" : "degC";
        }
        if (strcmp(word, FAHRENHEIT[i]) == 0) {
            return is_difference ? "degR" : "degF";
        }
    }
    return NULL;
}

typedef struct {
    char *text;
    size_t size;
    size_t at;
    bool overflow;
} writer;

static void put(writer *w, const char *s)
{
    const size_t n = strlen(s);
    if (w->at + n + 1 > w->size) {
        w->overflow = true;
        return;
    }
    memcpy(w->text + w->at, s, n + 1);
    w->at += n;
}

// Typed marks that are not ASCII, in ASCII.
static size_t put_mark(writer *w, const char *s)
{
    static const char *const MARKS[][2] = {
        {"\xc2\xb7", "."},      {"\xe2\x8b\x85", "."}, {"\xc2\xb2", "2"},     {"\xc2\xb3", "3"},
        {"\xc2\xb0", "deg"},    {"\xc2\xb5", "u"},     {"\xce\xbc", "u"},     {"\xe2\x80\xb2", "'"},
        {"\xe2\x80\xb3", "\""}, {"\xc2\xa0", " "},     {"\xe2\x80\xaf", " "},
    };
    for (size_t i = 0; i < sizeof MARKS / sizeof MARKS[0]; i++) {
        const size_t n = strlen(MARKS[i][0]);
        if (strncmp(s, MARKS[i][0], n) == 0) {
            put(w, MARKS[i][1]);
            return n;
        }
    }
    const char one[2] = {s[0], '\0'};
    put(w, one);
    return 1;
}

static void put_word(writer *w, const char *word, gw_quantity_kind kind, bool compound)
{
    const bool is_difference = compound || kind == GW_QTY_TEMPERATURE_DIFFERENCE;
    const char *const degree = degree_word(word, is_difference);
    if (degree != NULL) {
        put(w, degree);
        return;
    }
    const bool is_power = kind == GW_QTY_POWER || kind == GW_QTY_COOLING_POWER;
    for (size_t i = 0; i < sizeof ALIASES / sizeof ALIASES[0]; i++) {
        const alias *const a = &ALIASES[i];
        if (strcmp(word, a->word) == 0 && (a->where != IN_POWER || is_power)) {
            put(w, a->spelled);
            return;
        }
    }
    put(w, word);
}

static bool is_joiner(char c)
{
    return c == '.' || c == '-' || c == ' ' || c == '*';
}

// Writes the unit in udunits2's words. After a slash and outside parentheses a joiner divides on:
// "W/m-K" means watt per metre and per kelvin to everyone in the trade.
static bool spell_unit(const char *typed, gw_quantity_kind kind, char *out, size_t size)
{
    char ascii[128];
    writer a = {.text = ascii, .size = sizeof ascii};
    ascii[0] = '\0';
    for (const char *s = typed; *s != '\0';) {
        s += put_mark(&a, s);
    }
    writer w = {.text = out, .size = size, .overflow = a.overflow};
    out[0] = '\0';
    const bool compound = strpbrk(ascii, "/.-* ") != NULL;
    bool below_slash = false;
    int depth = 0;
    for (const char *s = ascii; *s != '\0';) {
        if (isalpha((unsigned char)*s)) {
            char word[40];
            size_t n = 0;
            while (isalpha((unsigned char)*s) || *s == '_') {
                if (n + 1 < sizeof word) {
                    word[n++] = *s;
                }
                s++;
            }
            word[n] = '\0';
            put_word(&w, word, kind, compound);
            continue;
        }
        const char one[2] = {*s, '\0'};
        depth += *s == '(' ? 1 : *s == ')' ? -1 : 0;
        below_slash = below_slash || *s == '/';
        if (is_joiner(*s)) {
            put(&w, below_slash && depth == 0 ? "/" : ".");
        } else if (*s == '\'') {
            put(&w, "ft");
        } else if (*s == '"') {
            put(&w, "in");
        } else {
            put(&w, one);
        }
        s++;
    }
    return !w.overflow;
}

// ---------------------------------------------------------------- reading

struct gw_units {
    ut_system *system;
    ut_unit *si[GW_QTY_COUNT];
};

gw_units *gw_units_create(gw_err *err)
{
    ut_set_error_message_handler(ut_ignore);
    gw_units *const units = calloc(1, sizeof *units);
    if (units == NULL) {
        gw_fail(err, GW_ERR_NOMEM, NULL, "out of memory opening the units database");
        return NULL;
    }
    units->system = ut_read_xml(NULL);
    if (units->system == NULL) {
        gw_fail(err, GW_ERR_IO, NULL,
                "the units database of udunits2 cannot be read: is it installed?");
        free(units);
        return NULL;
    }
    for (size_t kind = 0; kind < GW_QTY_COUNT; kind++) {
        units->si[kind] = ut_parse(units->system, KINDS[kind].si_unit, UT_ASCII);
    }
    return units;
}

void gw_units_destroy(gw_units *units)
{
    if (units == NULL) {
        return;
    }
    for (size_t kind = 0; kind < GW_QTY_COUNT; kind++) {
        ut_free(units->si[kind]);
    }
    ut_free_system(units->system);
    free(units);
}

static gw_status fail_unit(gw_err *err, gw_quantity_kind kind, const char *text, const char *why)
{
    return gw_fail(err, GW_ERR_UNIT, NULL,
                   "found \"%.60s\" (%s), expected a quantity in %s such as %s", text, why,
                   KINDS[kind].si_unit[0] == '1' ? "plain numbers" : KINDS[kind].si_unit,
                   example_of(KINDS[kind].si_unit));
}

// Same dimension, not merely convertible: udunits2 calls a value and its reciprocal convertible,
// which would let an R-value pass for a U-value.
static bool same_dimension(const ut_unit *a, const ut_unit *b)
{
    ut_unit *const ratio = ut_divide(a, b);
    const bool same = ratio != NULL && ut_is_dimensionless(ratio) != 0;
    ut_free(ratio);
    return same && ut_are_convertible(a, b) != 0;
}

static gw_status convert(gw_units *units, gw_quantity_kind kind, const char *unit_text,
                         const char *whole, double *value, gw_err *err)
{
    if (unit_text[0] == '\0') {
        return GW_OK;
    }
    char spelled[192];
    if (!spell_unit(unit_text, kind, spelled, sizeof spelled)) {
        return fail_unit(err, kind, whole, "the unit is too long");
    }
    ut_unit *const unit = ut_parse(units->system, spelled, UT_ASCII);
    if (unit == NULL) {
        return fail_unit(err, kind, whole, "the unit is not known");
    }
    gw_status st = GW_OK;
    if (same_dimension(unit, units->si[kind])) {
        cv_converter *const converter = ut_get_converter(unit, units->si[kind]);
        *value = cv_convert_double(converter, *value);
        cv_free(converter);
    } else {
        st = fail_unit(err, kind, whole, "the unit has another dimension");
    }
    ut_free(unit);
    return st;
}

static bool is_number_char(const char *s, size_t i)
{
    const char c = s[i];
    if (isdigit((unsigned char)c) || c == '.') {
        return true;
    }
    if (c == '+' || c == '-') {
        return i == 0 || s[i - 1] == 'e' || s[i - 1] == 'E';
    }
    // "3e5" is a number, "3 exp" or "3ea" is not.
    return (c == 'e' || c == 'E') && i > 0 &&
           (isdigit((unsigned char)s[i + 1]) ||
            ((s[i + 1] == '-' || s[i + 1] == '+') && isdigit((unsigned char)s[i + 2])));
}

static const char *skip_blanks(const char *s)
{
    while (*s == ' ' || *s == '\t') {
        s++;
    }
    return s;
}

// Number at the start of *text; moves *text behind it.
static bool take_number(const char **text, double *out)
{
    const char *const s = *text;
    size_t n = 0;
    while (s[n] != '\0' && is_number_char(s, n)) {
        n++;
    }
    // A sign that ends the run belongs to the unit.
    if (!gw_text_to_number(s, n, out)) {
        return false;
    }
    *text = s + n;
    return true;
}

// "R-20", "R 20", "RSI 3.5", "U-0.3", "USI 1.7": the letter names the unit and comes first. Windows
// are sold by U and walls by R, so either is taken where the other is kept.
static bool take_letter_value(gw_quantity_kind kind, const char *s, double *out)
{
    const int letter = toupper((unsigned char)s[0]);
    if ((kind != GW_QTY_INSULATION && kind != GW_QTY_TRANSMITTANCE) ||
        (letter != 'R' && letter != 'U')) {
        return false;
    }
    s++;
    const bool is_si = strncmp(s, "SI", 2) == 0 || strncmp(s, "si", 2) == 0;
    s += is_si ? 2 : 0;
    if (*s == '-' || *s == ' ' || *s == '=') {
        s++;
    }
    s = skip_blanks(s);
    double value = 0.0;
    if (!gw_text_to_number(s, strlen(s), &value)) {
        return false;
    }
    const double imperial_r = 0.17611018368230; // m²·K/W in 1 h·ft²·°F/Btu (Btu IT, exact feet)
    const double si = is_si ? value : letter == 'R' ? value * imperial_r : value / imperial_r;
    const bool as_kept = (letter == 'R') == (kind == GW_QTY_INSULATION);
    if (!as_kept && !(si > 0.0)) {
        return false;
    }
    *out = as_kept ? si : 1.0 / si;
    return true;
}

// The units library adds its offset in a way that leaves 32 °F a hair above freezing.
static bool take_fahrenheit(gw_quantity_kind kind, const char *unit_text, double *value)
{
    char spelled[32];
    if (kind != GW_QTY_TEMPERATURE || strlen(unit_text) > 12 ||
        !spell_unit(unit_text, kind, spelled, sizeof spelled) || strcmp(spelled, "degF") != 0) {
        return false;
    }
    *value = (*value - 32.0) * 5.0 / 9.0;
    return true;
}

// "5 ft 6 in", "5' 6\"": feet and inches in one length. False when the text is not of that form.
static bool take_feet_inches(gw_quantity_kind kind, const char *s, double *out)
{
    if (kind != GW_QTY_LENGTH && kind != GW_QTY_SMALL_LENGTH && kind != GW_QTY_HEAD) {
        return false;
    }
    double feet = 0.0;
    double inches = 0.0;
    if (!take_number(&s, &feet)) {
        return false;
    }
    s = skip_blanks(s);
    if (strncmp(s, "ft", 2) != 0 && *s != '\'') {
        return false;
    }
    s = skip_blanks(s + (*s == '\'' ? 1 : 2));
    if (!take_number(&s, &inches) || inches < 0.0 || inches >= 12.0) {
        return false;
    }
    s = skip_blanks(s);
    if (strcmp(s, "in") != 0 && strcmp(s, "\"") != 0) {
        return false;
    }
    *out = (feet < 0.0 ? -1.0 : 1.0) * (fabs(feet) * 0.3048 + inches * 0.0254);
    return true;
}

gw_status gw_quantity_read(gw_units *units, gw_quantity_kind kind, const char *text, double *out,
                           gw_err *err)
{
    char trimmed[128];
    const char *s = skip_blanks(text);
    size_t length = strlen(s);
    while (length > 0 && (s[length - 1] == ' ' || s[length - 1] == '\t')) {
        length--;
    }
    if (length == 0 || length >= sizeof trimmed) {
        return gw_fail(err, GW_ERR_SYNTAX, NULL, "found %s, expected a quantity such as %s",
                       length == 0 ? "an empty text" : "a very long text",
                       example_of(KINDS[kind].si_unit));
    }
    memcpy(trimmed, s, length);
    trimmed[length] = '\0';
    double value = 0.0;
    if (take_letter_value(kind, trimmed, &value) || take_feet_inches(kind, trimmed, &value)) {
        *out = value;
        return GW_OK;
    }
    const char *rest = trimmed;
    if (!take_number(&rest, &value)) {
        return gw_fail(err, GW_ERR_SYNTAX, NULL,
                       "found \"%.60s\", expected a number with a point, then a unit, such as %s",
                       trimmed, example_of(KINDS[kind].si_unit));
    }
    if (*rest == ',') {
        return gw_fail(err, GW_ERR_SYNTAX, NULL,
                       "found \"%.60s\", expected no comma in a number: write 1200 or 1.2",
                       trimmed);
    }
    if (!take_fahrenheit(kind, skip_blanks(rest), &value)) {
        const gw_status st = convert(units, kind, skip_blanks(rest), trimmed, &value, err);
        if (st != GW_OK) {
            return st;
        }
    }
    if (!isfinite(value)) {
        return gw_fail(err, GW_ERR_RANGE, NULL, "found \"%.60s\", expected a finite value",
                       trimmed);
    }
    *out = value;
    return GW_OK;
}

// ---------------------------------------------------------------- printing

// Groups of three digits, parted by a space, in the whole part of a printed number.
static void group_digits(const char *plain, char *out, size_t size)
{
    const size_t sign = plain[0] == '-' ? 1 : 0;
    const size_t whole = strcspn(plain + sign, ".");
    size_t n = 0;
    for (size_t i = 0; plain[i] != '\0' && n + 2 < size; i++) {
        const size_t digit = i - sign;
        if (i > sign && digit < whole && (whole - digit) % 3 == 0 && whole > 4) {
            out[n++] = ' ';
        }
        out[n++] = plain[i];
    }
    out[n] = '\0';
}

const char *gw_quantity_print(gw_quantity_kind kind, gw_unit_system system, double si, char *buffer,
                              size_t size)
{
    const gw_print_unit unit = gw_quantity_print_unit(kind, system);
    char plain[64];
    char grouped[96];
    if (!isfinite(si)) {
        snprintf(buffer, size, "–");
        return buffer;
    }
    double shown = si * unit.factor + unit.offset;
    const double half = 0.5 * pow(10.0, -unit.digits);
    if (fabs(shown) < half) {
        shown = 0.0; // no "-0.0"
    }
    snprintf(plain, sizeof plain, "%.*f", unit.digits, shown);
    char *const comma = strchr(plain, ',');
    if (comma != NULL) {
        *comma = '.';
    }
    group_digits(plain, grouped, sizeof grouped);
    const char *const gap = unit.unit[0] == '\0' ? "" : " ";
    snprintf(buffer, size, "%s%s%s", grouped, gap, unit.unit);
    return buffer;
}
