#include "calc/expression.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "ground/letters.h"
#include "near_name.h"

enum { MOST_DEPTH = 200, MOST_STEPS = 100000 };

struct reader {
    const char *text;
    size_t size, at;
    int depth;
    long steps;
    size_t doubt_count;
    struct doubt doubts[EXPRESSION_DOUBTS];
    struct complaint *wrong;
    const struct expression_names *names; /* NULL: none */
    bool has_length;
};

void expression_clear(struct expression *e)
{
    quantity_clear(&e->value);
    nmk_rat_clear(&e->step);
    *e = (struct expression){.unit = NMK_UNIT_NONE};
}

__attribute__((format(printf, 6, 7))) static bool refuse(struct reader *r, size_t at, size_t size, const char *code,
                                                         const char *hint, const char *format, ...)
{
    *r->wrong = (struct complaint){.code = code, .at = at, .size = size};
    va_list args;
    va_start(args, format);
    vsnprintf(r->wrong->message, sizeof r->wrong->message, format, args);
    va_end(args);
    snprintf(r->wrong->hint, sizeof r->wrong->hint, "%s", hint ? hint : "");
    return false;
}

/* ---- letters ---- */

static struct letter letter_at(const struct reader *r, size_t at)
{
    return letter_get(r->text, r->size, at);
}

static bool is_space(uint32_t c)
{
    return c == ' ' || (c >= '\t' && c <= '\r') || c == 0xA0 || (c >= 0x2000 && c <= 0x200B) || c == 0x202F || c == 0x3000 ||
           c == 0xFEFF || c == 0x2060;
}

static bool is_minus(uint32_t c)
{
    return c == '-' || c == 0x2212 || c == 0x2013; /* −, – */
}

static bool is_digit(uint32_t c)
{
    return c >= '0' && c <= '9';
}

static bool is_word_letter(uint32_t c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' || (c >= 0xC0 && c != 0xD7 && c != 0xF7 && c < 0x2000);
}

static void skip_spaces(struct reader *r)
{
    while (r->at < r->size) {
        struct letter l = letter_at(r, r->at);
        if (!is_space(l.code))
            return;
        r->at += l.bytes;
    }
}

/* The letter behind the spaces; code 0 at the end. */
static struct letter peek(struct reader *r)
{
    skip_spaces(r);
    return letter_at(r, r->at);
}

/* The size of the word at `at`; 0: none begins there. */
static size_t word_size(const struct reader *r, size_t at)
{
    size_t end = at;
    for (struct letter l = letter_at(r, end); l.bytes && (is_word_letter(l.code) || (end > at && is_digit(l.code)));
         l = letter_at(r, end))
        end += l.bytes;
    return end - at;
}

static bool word_is(const struct reader *r, size_t at, size_t size, const char *word)
{
    return strlen(word) == size && !memcmp(r->text + at, word, size);
}

/* ---- numbers, lengths and names ---- */

static bool read_sum(struct reader *r, struct quantity *out);

static void note_doubt(struct reader *r, size_t at, const struct nmk_length_read *read)
{
    if (r->doubt_count >= EXPRESSION_DOUBTS)
        return;
    struct doubt *d = &r->doubts[r->doubt_count++];
    d->at = at;
    d->size = read->used;
    nmk_length_print(d->meant, sizeof d->meant, &read->mm, read->unit == NMK_MIL ? NMK_MM : read->unit, 9, NMK_FRACTION_PLAIN);
}

/* A number or a length. A lone fraction without unit is left to the division that it is: `6/2/3`. */
static bool read_written(struct reader *r, struct quantity *out, bool divides)
{
    struct nmk_length_read read = {.unit = NMK_UNIT_NONE};
    struct nmk_length_error error = {0};
    size_t start = r->at, size = r->size - start;
    enum nmk_status status = nmk_length_parse(&read, r->text + start, size, false, &error);
    if (!status && read.unit == NMK_UNIT_NONE && read.slash)
        status = nmk_length_parse(&read, r->text + start, read.slash, false, &error);
    if (status)
        return refuse(r, start + error.at, error.size, error.code, error.hint, "%s", error.message);
    bool length = read.unit != NMK_UNIT_NONE;
    if (length && divides) {
        nmk_length_read_clear(&read);
        return refuse(r, start, read.used, "divided-by-length", "type a/2 for a part of it, a/(2 in) for how often it goes",
                      "This can be read in two ways: a part of it, or divided by a length");
    }
    out->power = length;
    r->has_length |= length;
    nmk_enclosure_set_rat(&out->value, &read.mm);
    if (read.doubtful)
        note_doubt(r, start, &read);
    r->at = start + read.used;
    nmk_length_read_clear(&read);
    return true;
}

static bool refuse_word(struct reader *r, size_t at, size_t size)
{
    static const char *const known[] = {"min", "max", "abs", "sqrt", "pi", "mm", "cm", "in", NULL};
    struct near_name near = near_name_begin(r->text + at, size);
    for (size_t i = 0; known[i]; i++)
        near_name_offer(&near, known[i]);
    if (r->names)
        r->names->offer(r->names->context, &near);
    int shown = (int)(size < 40 ? size : 40);
    if (nmk_unit_find(r->text + at, size) != NMK_UNIT_NONE)
        return refuse(r, at, size, "no-number", "for example 84 mm", "A number is missing before %.*s", shown, r->text + at);
    if (near.best)
        return refuse(r, at, size, "unknown-name", NULL, "%.*s is not known here; did you mean %s?", shown, r->text + at,
                      near.best);
    return refuse(r, at, size, "unknown-name", "known are min, max, abs, sqrt and pi", "%.*s is not known here", shown,
                  r->text + at);
}

static bool take_operand(struct reader *r, size_t at, const char *wrong)
{
    return !wrong || refuse(r, at, r->at - at, "does-not-go", NULL, "%s", wrong);
}

static bool close_bracket(struct reader *r, size_t opened)
{
    if (peek(r).code != ')')
        return refuse(r, opened, 1, "unclosed", NULL, "This parenthesis is not closed");
    r->at++;
    return true;
}

static bool enter(struct reader *r, size_t at)
{
    return ++r->depth <= MOST_DEPTH || refuse(r, at, 1, "too-deep", NULL, "More than 200 parentheses in each other");
}

/* The further arguments of min and max: one at least, or a comma was meant that was read as a decimal comma. */
static bool read_more(struct reader *r, struct quantity *out, bool is_min, size_t start)
{
    bool good = true;
    if (peek(r).code != ',')
        return refuse(r, start, r->at - start, "one-size", "put a space behind the comma: max(3, 4)",
                      "%s compares two sizes or more", is_min ? "min" : "max");
    while (good && peek(r).code == ',') {
        r->at++;
        struct quantity next = {0};
        good = read_sum(r, &next) &&
               take_operand(r, start, is_min ? quantity_min(out, &next) : quantity_max(out, &next));
        quantity_clear(&next);
    }
    return good;
}

static bool apply(struct reader *r, struct quantity *out, size_t start, size_t size)
{
    if (word_is(r, start, size, "sqrt"))
        return take_operand(r, start, quantity_sqrt(out));
    if (word_is(r, start, size, "abs"))
        quantity_abs(out);
    return true;
}

static bool read_function(struct reader *r, struct quantity *out, size_t start, size_t size)
{
    bool is_min = word_is(r, start, size, "min"), is_max = word_is(r, start, size, "max");
    if (peek(r).code != '(')
        return refuse(r, start, size, "no-parenthesis", NULL, "%.*s needs parentheses: %.*s(...)", (int)size, r->text + start,
                      (int)size, r->text + start);
    size_t opened = r->at++;
    bool good = enter(r, opened) && read_sum(r, out) && (!(is_min || is_max) || read_more(r, out, is_min, start)) &&
                close_bracket(r, opened) && apply(r, out, start, size);
    r->depth--;
    return good;
}

/* The longest name that stands here, `sleeve.face` before `sleeve`. */
static bool read_name(struct reader *r, struct quantity *out)
{
    size_t start = r->at, sizes[3] = {word_size(r, start)}, count = 1;
    for (; count < 3 && start + sizes[count - 1] < r->size; count++) {
        size_t point = start + sizes[count - 1], more = r->text[point] == '.' ? word_size(r, point + 1) : 0;
        if (!more)
            break;
        sizes[count] = sizes[count - 1] + 1 + more;
    }
    while (count--)
        if (r->names->find(r->names->context, r->text + start, sizes[count], out)) {
            r->at = start + sizes[count];
            r->has_length = true;
            return true;
        }
    return false;
}

static bool read_word(struct reader *r, struct quantity *out)
{
    if (r->names && read_name(r, out))
        return true;
    size_t start = r->at, size = word_size(r, start);
    static const char *const functions[] = {"min", "max", "abs", "sqrt", NULL};
    r->at += size;
    if (word_is(r, start, size, "pi")) {
        nmk_enclosure_pi(&out->value);
        return true;
    }
    for (size_t i = 0; functions[i]; i++)
        if (word_is(r, start, size, functions[i]))
            return read_function(r, out, start, size);
    return refuse_word(r, start, size);
}

static bool read_bracket(struct reader *r, struct quantity *out)
{
    size_t opened = r->at++;
    bool good = enter(r, opened) && read_sum(r, out) && close_bracket(r, opened);
    r->depth--;
    return good;
}

static bool refuse_letter(struct reader *r, struct letter l)
{
    static const char expected[] = "A number, a length or a parenthesis is expected here";
    if (!l.bytes && !r->steps)
        return refuse(r, 0, 0, "empty", "for example 105 mm + 1/2 in", "There is no sum here");
    if (!l.bytes)
        return refuse(r, r->at, 1, "unfinished", NULL, "The sum ends where a number or a length is expected");
    if (l.code == '.' || l.code == ',')
        return refuse(r, r->at, 1, "bare-point", "write 0.5, not .5", "A number begins with a digit");
    if (l.code == 0xB1)
        return refuse(r, r->at, l.bytes, "plus-minus", "± belongs to a measure in a design file",
                      "A sum works with one definite length");
    return refuse(r, r->at, l.bytes, "unexpected", NULL, "%s", expected);
}

/* factor, see the top. `divides`: it stands behind a division sign. */
static bool read_factor(struct reader *r, struct quantity *out, bool divides)
{
    struct letter l = peek(r);
    bool negative = false;
    for (; is_minus(l.code); l = peek(r)) {
        negative = !negative;
        r->at += l.bytes;
    }
    bool good;
    if (l.code == '(')
        good = read_bracket(r, out);
    else if (word_size(r, r->at))
        good = read_word(r, out);
    else if (l.bytes && (is_digit(l.code) || l.code > 0x7F) && l.code != 0xB1)
        good = read_written(r, out, divides);
    else
        good = refuse_letter(r, l);
    if (good && ++r->steps > MOST_STEPS)
        return refuse(r, r->at, 1, "too-long", NULL, "The sum has more than 100,000 parts");
    if (good && negative)
        quantity_neg(out);
    return good;
}

/* '*', '/' or 0 for what stands next. */
static char factor_sign(struct letter l)
{
    if (l.code == '*' || l.code == 0xD7 || l.code == 0xB7 || l.code == 0x22C5)
        return '*';
    return l.code == '/' || l.code == 0xF7 || l.code == 0x2215 ? '/' : 0;
}

static bool read_term(struct reader *r, struct quantity *out)
{
    size_t start = (skip_spaces(r), r->at);
    bool good = read_factor(r, out, false);
    while (good) {
        struct letter l = peek(r);
        char sign = factor_sign(l);
        if (!sign)
            break;
        r->at += l.bytes;
        struct quantity next = {0};
        good = read_factor(r, &next, sign == '/') &&
               take_operand(r, start, sign == '*' ? quantity_mul(out, &next) : quantity_div(out, &next));
        quantity_clear(&next);
    }
    return good;
}

static bool space_before(const struct reader *r)
{
    size_t at = r->at;
    while (at && (r->text[--at] & 0xC0) == 0x80)
        continue;
    return is_space(letter_at(r, at).code);
}

/* A minus that takes away stands between spaces; one that does not is asked about. */
static bool check_minus(struct reader *r, struct letter l)
{
    if (space_before(r) && is_space(letter_at(r, r->at + l.bytes).code))
        return true;
    return refuse(r, r->at, l.bytes, "tight-minus", "for example 84 mm - 2 mm", "A minus stands between spaces");
}

static bool read_sum(struct reader *r, struct quantity *out)
{
    size_t start = (skip_spaces(r), r->at);
    bool good = read_term(r, out);
    while (good) {
        struct letter l = peek(r);
        bool minus = is_minus(l.code);
        if (l.code != '+' && !minus)
            break;
        if (minus && !check_minus(r, l))
            return false;
        r->at += l.bytes;
        struct quantity next = {0};
        good = read_term(r, &next) && take_operand(r, start, minus ? quantity_sub(out, &next) : quantity_add(out, &next));
        quantity_clear(&next);
    }
    return good;
}

/* ---- what is asked for at the end ---- */

static bool find_fraction(struct nmk_rat *step, const char *word, size_t size)
{
    static const struct { const char *name; int64_t parts; } fractions[] = {
        {"halves", 2}, {"quarters", 4}, {"eighths", 8}, {"8ths", 8}, {"sixteenths", 16}, {"16ths", 16},
        {"thirty-seconds", 32}, {"32nds", 32}, {"sixty-fourths", 64}, {"64ths", 64},
    };
    for (size_t i = 0; i < sizeof fractions / sizeof *fractions; i++)
        if (strlen(fractions[i].name) == size && !memcmp(fractions[i].name, word, size))
            return !nmk_rat_set_frac(step, 127, 5 * fractions[i].parts);
    return false;
}

/* `in cm`, `in sixteenths`, at the end. */
static bool read_wish(struct reader *r, struct expression *e)
{
    skip_spaces(r);
    if (word_size(r, r->at) != 2 || !word_is(r, r->at, 2, "in"))
        return true;
    size_t before = r->at;
    r->at += 2;
    skip_spaces(r);
    size_t start = r->at, end = r->size;
    while (end > start && is_space((unsigned char)r->text[end - 1]))
        end--;
    r->at = end;
    if (end == start)
        return refuse(r, before, 2, "stray-unit", "write the unit at each number, (3 mm + 4 mm)", "A unit cannot stand here");
    if (find_fraction(&e->step, r->text + start, end - start))
        return true;
    e->unit = nmk_unit_find(r->text + start, end - start);
    if (e->unit != NMK_UNIT_NONE)
        return true;
    return refuse(r, start, end - start, "unknown-unit", "units: mm, cm, in, ft, mil; or halves ... sixteenths, 32nds, 64ths",
                  "There is no such unit");
}

/* Is this a word right behind a number, where its unit should be? */
static bool is_strange_unit(const struct reader *r, size_t word)
{
    struct quantity known = {.power = 0};
    size_t before = r->at;
    while (before && r->text[before - 1] == ' ')
        before--;
    bool named = r->names && r->names->find(r->names->context, r->text + r->at, word, &known);
    quantity_clear(&known);
    return word && !named && before && r->text[before - 1] >= '0' && r->text[before - 1] <= '9';
}

static bool read_end(struct reader *r)
{
    struct letter l = peek(r);
    if (!l.bytes)
        return true;
    size_t word = word_size(r, r->at);
    if (l.code == ')')
        return refuse(r, r->at, 1, "unopened", NULL, "This parenthesis was not opened");
    if (word && nmk_unit_find(r->text + r->at, word) != NMK_UNIT_NONE)
        return refuse(r, r->at, word, "stray-unit", "write the unit at each number, (3 mm + 4 mm)", "A unit cannot stand here");
    if (word == 1 && (l.code == 'x' || l.code == 'X'))
        return refuse(r, r->at, 1, "times", "to multiply, type *", "An x does not multiply here");
    if (l.code == 0xB1)
        return refuse_letter(r, l);
    if (is_strange_unit(r, word))
        return refuse(r, r->at, word, "unknown-unit", "units: mm, cm, in, ft, mil", "There is no such unit");
    return refuse(r, r->at, word ? word : l.bytes, "unexpected", NULL, "One of + - * / is expected here");
}

bool expression_read(struct expression *out, const char *text, size_t size, const struct expression_names *names,
                     struct complaint *wrong)
{
    struct expression e = {.unit = NMK_UNIT_NONE};
    struct reader r = {.text = text, .size = size, .wrong = wrong, .names = names};
    bool good = read_sum(&r, &e.value) && read_wish(&r, &e) && read_end(&r);
    e.has_length = r.has_length;
    e.doubt_count = r.doubt_count;
    memcpy(e.doubts, r.doubts, sizeof e.doubts);
    if (good) {
        struct expression old = *out;
        *out = e;
        e = old;
    }
    expression_clear(&e);
    return good;
}
