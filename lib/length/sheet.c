#include "nearmark/sheet.h"

#include <assert.h>
#include <string.h>

#include "length/spell.h"

/* Sizes in mm, or in 1/100 in. Sources: ISO 216:2007, ISO 217; the American ones, ASME Y14.1 and custom, from memory. */
static const struct {
    const char *name;
    unsigned short width, height;
    enum nmk_unit unit;
} sheets[] = {
    {"A0", 841, 1189, NMK_MM},        {"A1", 594, 841, NMK_MM},         {"A2", 420, 594, NMK_MM},
    {"A3", 297, 420, NMK_MM},         {"A4", 210, 297, NMK_MM},         {"A5", 148, 210, NMK_MM},
    {"A6", 105, 148, NMK_MM},         {"A7", 74, 105, NMK_MM},          {"A8", 52, 74, NMK_MM},
    {"A9", 37, 52, NMK_MM},           {"A10", 26, 37, NMK_MM},          {"B0", 1000, 1414, NMK_MM},
    {"B1", 707, 1000, NMK_MM},        {"B2", 500, 707, NMK_MM},         {"B3", 353, 500, NMK_MM},
    {"B4", 250, 353, NMK_MM},         {"B5", 176, 250, NMK_MM},         {"B6", 125, 176, NMK_MM},
    {"B7", 88, 125, NMK_MM},          {"B8", 62, 88, NMK_MM},           {"B9", 44, 62, NMK_MM},
    {"B10", 31, 44, NMK_MM},          {"RA0", 860, 1220, NMK_MM},       {"RA1", 610, 860, NMK_MM},
    {"RA2", 430, 610, NMK_MM},        {"RA3", 305, 430, NMK_MM},        {"RA4", 215, 305, NMK_MM},
    {"SRA0", 900, 1280, NMK_MM},      {"SRA1", 640, 900, NMK_MM},       {"SRA2", 450, 640, NMK_MM},
    {"SRA3", 320, 450, NMK_MM},       {"SRA4", 225, 320, NMK_MM},       {"Letter", 850, 1100, NMK_IN},
    {"Legal", 850, 1400, NMK_IN},     {"Ledger", 1100, 1700, NMK_IN},   {"Tabloid", 1100, 1700, NMK_IN},
    {"ANSI A", 850, 1100, NMK_IN},    {"ANSI B", 1100, 1700, NMK_IN},   {"ANSI C", 1700, 2200, NMK_IN},
    {"ANSI D", 2200, 3400, NMK_IN},   {"ANSI E", 3400, 4400, NMK_IN},   {"4x6", 400, 600, NMK_IN},
    {"5x7", 500, 700, NMK_IN},        {"6x6", 600, 600, NMK_IN},        {"8x8", 800, 800, NMK_IN},
    {"8.5x11", 850, 1100, NMK_IN},    {"11x17", 1100, 1700, NMK_IN},    {"12x12", 1200, 1200, NMK_IN},
};

void nmk_sheet_clear(struct nmk_sheet *sheet)
{
    if (!sheet)
        return;
    nmk_rat_clear(&sheet->width);
    nmk_rat_clear(&sheet->height);
    *sheet = (struct nmk_sheet){.unit = NMK_MM};
}

size_t nmk_sheet_count(void)
{
    return sizeof sheets / sizeof *sheets;
}

const char *nmk_sheet_name(size_t i)
{
    return i < nmk_sheet_count() ? sheets[i].name : NULL;
}

/* Spaces and hyphens do not count: `ANSI A`, `ansi-a`. */
static size_t skip_gaps(const char *text, size_t size, size_t at)
{
    while (at < size && (text[at] == ' ' || text[at] == '-'))
        at++;
    return at;
}

static bool is_named(const char *text, size_t size, const char *name)
{
    size_t length = strlen(name), i = 0, k = 0;
    while (i < size && k < length && nmk_spell_lower(text[i]) == nmk_spell_lower(name[k])) {
        i++;
        k++;
        if (k < length && name[k] == ' ') {
            k = skip_gaps(name, length, k);
            i = skip_gaps(text, size, i);
        }
    }
    return i == size && k == length;
}

static void set_size(struct nmk_rat *out, unsigned n, enum nmk_unit unit)
{
    enum nmk_status status = nmk_rat_set_frac(out, n, unit == NMK_IN ? 100 : 1);
    struct nmk_rat mm = {0};
    assert(status == NMK_OK);
    (void)status;
    nmk_unit_mm(&mm, unit);
    nmk_rat_mul(out, out, &mm);
    nmk_rat_clear(&mm);
}

static void set_listed(struct nmk_sheet *out, size_t i)
{
    out->name = sheets[i].name;
    out->unit = sheets[i].unit;
    set_size(&out->width, sheets[i].width, out->unit);
    set_size(&out->height, sheets[i].height, out->unit);
}

/* A number of inches above 0 at text[*at..size), *at then behind it. */
static bool take_inches(struct nmk_rat *mm, const char *text, size_t size, size_t *at)
{
    struct nmk_length_read read = {.unit = NMK_UNIT_NONE};
    bool right = nmk_length_parse(&read, text + *at, size - *at, false, NULL) == NMK_OK && read.unit == NMK_UNIT_NONE &&
                 nmk_rat_sign(&read.mm) > 0;
    if (right) {
        nmk_unit_mm(mm, NMK_IN);
        nmk_rat_mul(mm, mm, &read.mm);
        *at += read.used;
    }
    nmk_length_read_clear(&read);
    return right;
}

/* x, X or the multiplication sign, spaces round it allowed; *at then behind it. */
static bool take_times(const char *text, size_t size, size_t *at)
{
    size_t i = skip_gaps(text, size, *at);
    if (i < size && nmk_spell_lower(text[i]) == 'x')
        i += 1;
    else if (i + 1 < size && memcmp(text + i, "\xC3\x97", 2) == 0)
        i += 2;
    else
        return false;
    *at = i;
    return true;
}

static size_t find_equal(const struct nmk_sheet *sheet)
{
    struct nmk_sheet listed = {.unit = NMK_MM};
    size_t i = nmk_sheet_count();
    while (i-- > 0) {
        set_listed(&listed, i);
        if (strchr(listed.name, 'x') && nmk_rat_equal(&listed.width, &sheet->width) &&
            nmk_rat_equal(&listed.height, &sheet->height))
            break;
    }
    nmk_sheet_clear(&listed);
    return i;
}

static enum nmk_status find_by_size(struct nmk_sheet *out, const char *text, size_t size)
{
    struct nmk_sheet sheet = {.unit = NMK_IN};
    size_t at = 0;
    bool right = take_inches(&sheet.width, text, size, &at) && take_times(text, size, &at) &&
                 take_inches(&sheet.height, text, size, &at) && at == size;
    if (right) {
        sheet.name = nmk_sheet_name(find_equal(&sheet));
        nmk_rat_swap(&out->width, &sheet.width);
        nmk_rat_swap(&out->height, &sheet.height);
        out->name = sheet.name;
        out->unit = sheet.unit;
    }
    nmk_sheet_clear(&sheet);
    return right ? NMK_OK : NMK_INVALID;
}

enum nmk_status nmk_sheet_find(struct nmk_sheet *out, const char *text, size_t size)
{
    if (!out || !text || !size)
        return NMK_INVALID;
    for (size_t i = 0; i < nmk_sheet_count(); i++) {
        if (is_named(text, size, sheets[i].name)) {
            set_listed(out, i);
            return NMK_OK;
        }
    }
    return find_by_size(out, text, size);
}
