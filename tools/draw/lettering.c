#include "draw/lettering.h"

#include <string.h>

#include "ground/letters.h"
#include "ground/store.h"

/* Space to tilde. */
static const short ascii_plain[] = {
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636, 636, 636,
    636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787,
    603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635,
    634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838};
static const short ascii_bold[] = {
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696, 696, 696, 696, 696, 696,
    696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995, 837, 850,
    733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716, 678, 435, 716,
    712, 343, 343, 665, 343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838};

/* Other letters by where they stand; a later row wins. In thousandths of an em, plain and bold. */
static const struct range {
    unsigned from, to;
    short plain, bold;
} ranges[] = {
    {0x00A0, 0x00FF, 850, 900},   /* Latin-1 */
    {0x00A0, 0x00A0, 318, 348},
    {0x0100, 0x024F, 950, 1050},  /* Latin, extended */
    {0x0300, 0x036F, 0, 0},       /* marks upon letters */
    {0x0370, 0x03FF, 850, 950},   /* Greek */
    {0x0400, 0x04FF, 1100, 1330}, /* Cyrillic */
    {0x0591, 0x05BD, 0, 0},
    {0x0600, 0x06FF, 1150, 1250}, /* Arabic */
    {0x064B, 0x065F, 0, 0},
    {0x0900, 0x0FFF, 1150, 1250}, /* scripts of India, Thai, Tibetan */
    {0x0E31, 0x0E31, 0, 0}, {0x0E34, 0x0E3A, 0, 0}, {0x0E47, 0x0E4E, 0, 0},
    {0x1100, 0x11FF, 1050, 1100}, /* Hangul letters */
    {0x2000, 0x2001, 1000, 1000}, {0x2002, 0x2008, 600, 600}, {0x2009, 0x200A, 200, 200}, {0x200B, 0x200F, 0, 0},
    {0x2010, 0x2015, 1000, 1000}, {0x2013, 0x2013, 556, 556}, {0x2018, 0x201F, 520, 560}, {0x2026, 0x2026, 1000, 1000},
    {0x2044, 0x2044, 250, 250},   /* the fraction slash */
    {0x2066, 0x2069, 0, 0}, {0x20D0, 0x20FF, 0, 0},
    {0x2190, 0x23FF, 1100, 1150}, {0x2600, 0x27BF, 1300, 1300}, /* arrows, signs */
    {0x2E80, 0x9FFF, 1050, 1100}, {0xAC00, 0xD7AF, 1050, 1100}, {0xF900, 0xFAFF, 1050, 1100}, /* Chinese, Japanese, Korean */
    {0xFE00, 0xFE0F, 0, 0},
    {0xFF00, 0xFF60, 1050, 1100},
    {0x1F000, 0x1FAFF, 1400, 1400}, /* pictures */
    {0x1F3FB, 0x1F3FF, 0, 0},
    {0x20000, 0x3FFFF, 1050, 1100},
};

static int letter_advance(unsigned code, bool bold)
{
    if (code >= ' ' && code <= '~')
        return bold ? ascii_bold[code - ' '] : ascii_plain[code - ' '];
    for (size_t i = sizeof ranges / sizeof *ranges; i--;)
        if (code >= ranges[i].from && code <= ranges[i].to)
            return bold ? ranges[i].bold : ranges[i].plain;
    return 1150;
}

/* ---- fractions ---- */

static size_t digits_at(const char *text)
{
    return strspn(text, "0123456789");
}

#define SLASH "\xE2\x81\x84"
static bool slash_at(const char *text)
{
    return !strncmp(text, SLASH, 3);
}

/* Bytes before the next numerator, or the end. */
static size_t plain_bytes(const char *text)
{
    size_t at = 0;
    while (text[at]) {
        size_t digits = digits_at(text + at);
        if (digits && slash_at(text + at + digits) && digits_at(text + at + digits + 3))
            return at;
        at += digits ? digits : 1;
    }
    return at;
}

bool lettering_run(const char *text, struct run *run)
{
    size_t plain = plain_bytes(text), digits = digits_at(text);
    if (!*text)
        return false;
    if (slash_at(text) && digits_at(text + 3)) /* behind a numerator: the runs are taken in order */
        *run = (struct run){RUN_SLASH, text, 3};
    else if (run->kind == RUN_SLASH)
        *run = (struct run){RUN_DENOMINATOR, text, digits};
    else if (plain)
        *run = (struct run){RUN_PLAIN, text, plain};
    else
        *run = (struct run){RUN_NUMERATOR, text, digits};
    return true;
}

/* ---- widths ---- */

static double plain_width(const char *text, size_t bytes, double size, bool bold)
{
    double sum = 0;
    for (size_t at = 0; at < bytes;) {
        struct letter l = letter_get(text, bytes, at);
        sum += letter_advance(l.code, bold);
        at += l.bytes;
    }
    return sum * size / 1000;
}

double lettering_width_part(const char *text, size_t bytes, double size, bool bold)
{
    char *part = store_copy(text, bytes);
    double width = lettering_width(part, size, bold);
    store_free(part);
    return width;
}

double lettering_width(const char *text, double size, bool bold)
{
    double sum = 0;
    struct run run = {.kind = RUN_PLAIN};
    for (const char *at = text; lettering_run(at, &run); at += run.size) {
        bool small = run.kind == RUN_NUMERATOR || run.kind == RUN_DENOMINATOR;
        sum += plain_width(run.text, run.size, small ? size * LETTERING_SMALL : size, bold);
    }
    return sum;
}

/* ---- breaking ---- */

/* Does the letter hang on the one before it? */
static bool hangs_on(unsigned code)
{
    return !letter_advance(code, false);
}

/* The next place, in bytes, at which the text may be torn. */
static size_t next_letter(const char *text, size_t size, size_t at)
{
    bool joined = true;
    while (at < size && joined) {
        struct letter l = letter_get(text, size, at);
        at += l.bytes;
        struct letter next = letter_get(text, size, at);
        joined = l.code == 0x200D || (at < size && hangs_on(next.code));
    }
    return at;
}

size_t lettering_fit(const char *text, double width, double size, bool bold)
{
    size_t bytes = strlen(text), best = 0;
    for (size_t at = 0; at < bytes; best = at) {
        size_t next = next_letter(text, bytes, at);
        if (lettering_width_part(text, next, size, bold) > width + 1e-9)
            break;
        at = next;
    }
    return best;
}

#define ELLIPSIS "\xE2\x80\xA6"
char *lettering_elide(const char *text, double width, double size, bool bold)
{
    if (lettering_width(text, size, bold) <= width + 1e-9)
        return store_copy(text, strlen(text));
    size_t fits = lettering_fit(text, width - lettering_width(ELLIPSIS, size, bold), size, bold);
    while (fits && text[fits - 1] == ' ')
        fits--;
    char *copy = store_new(fits + 4, 1);
    memcpy(copy, text, fits);
    memcpy(copy + fits, ELLIPSIS, 4);
    return copy;
}

/* Of text[0..fits), how much to put on this line: up to a space, else behind a `_`; all of it where there is neither. */
static size_t break_before(const char *text, size_t fits, bool *torn)
{
    for (size_t at = fits; at; at--)
        if (text[at] == ' ' || text[at - 1] == ' ')
            return at;
    for (size_t at = fits; at; at--)
        if (text[at - 1] == '_')
            return at;
    *torn = true;
    return fits;
}

void lettering_wrap(struct lines *out, const char *text, double width, double size, bool bold, size_t most)
{
    *out = (struct lines){0};
    while (*text && out->count < most) {
        size_t fits = lettering_fit(text, width, size, bold), bytes = strlen(text);
        if (fits == bytes || out->count + 1 == most || !fits) {
            out->torn |= fits != bytes;
            out->line[out->count++] = lettering_elide(text, width, size, bold);
            return;
        }
        size_t take = break_before(text, fits, &out->torn), end = take;
        while (end && text[end - 1] == ' ')
            end--;
        out->line[out->count++] = store_copy(text, end);
        text += take;
        text += strspn(text, " ");
    }
}

void lettering_lines_clear(struct lines *lines)
{
    for (size_t i = 0; i < lines->count; i++)
        store_free(lines->line[i]);
    *lines = (struct lines){0};
}
