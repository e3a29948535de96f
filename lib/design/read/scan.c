#include <stdio.h>
#include <string.h>

#include "design/read/reader.h"
#include "length/glyph.h"

/* Everything here works on bytes [at, end) of the current line. */
static size_t line_end(const struct nmk_reader *r)
{
    return r->source.lines[r->line].end;
}

static struct nmk_glyph glyph(const struct nmk_reader *r, size_t at)
{
    return nmk_glyph_get(r->source.text, line_end(r), at);
}

static bool is_name_part(uint32_t code)
{
    return code == '_' || nmk_glyph_is_digit(code) || nmk_glyph_is_letter(code);
}

/* The end of the name that begins at `at`; `at` where none does. */
static size_t name_end(const struct nmk_reader *r, size_t at)
{
    struct nmk_glyph g = glyph(r, at);
    if (!g.bytes || !nmk_glyph_is_letter(g.code))
        return at;
    for (; g.bytes && is_name_part(g.code); g = glyph(r, at))
        at += g.bytes;
    return at;
}

static bool is_space_at(const struct nmk_reader *r, size_t at)
{
    struct nmk_glyph g = glyph(r, at);
    return !g.bytes || nmk_glyph_is_space(g.code);
}

static bool is_space_before(const struct nmk_reader *r, size_t at)
{
    size_t start = r->source.lines[r->line].start, before = at;
    while (before > start && ((unsigned char)r->source.text[before - 1] & 0xC0) == 0x80)
        before--;
    return before <= start || is_space_at(r, before - 1);
}

static struct nmk_span span(struct nmk_reader *r, size_t at, size_t end)
{
    return nmk_source_span(&r->source, r->line, at, end - at);
}

static struct nmk_quoted quote(const struct nmk_reader *r, size_t at, size_t end)
{
    return nmk_read_quote(r->source.text + at, end - at);
}

/* ---- what is no token ---- */

/* `base-short`: where the run of names, digits and hyphens ends. */
static size_t hyphenated_end(const struct nmk_reader *r, size_t at)
{
    for (;;) {
        struct nmk_glyph g = glyph(r, at);
        if (g.bytes && nmk_glyph_is_minus(g.code)) {
            struct nmk_glyph next = glyph(r, at + g.bytes);
            if (!next.bytes || !is_name_part(next.code))
                return at;
        } else if (!g.bytes || !(is_name_part(g.code) || g.code == '.')) {
            return at;
        }
        at += g.bytes;
    }
}

static bool is_hyphenated(const struct nmk_reader *r, size_t end)
{
    struct nmk_glyph g = glyph(r, end);
    if (!g.bytes || !nmk_glyph_is_minus(g.code))
        return false;
    struct nmk_glyph next = glyph(r, end + g.bytes);
    return next.bytes && is_name_part(next.code);
}

/* Writes [at, end) with `_` or ` - ` in place of its hyphens. */
static void replace_hyphens(const struct nmk_reader *r, char *out, size_t space, size_t at, size_t end, const char *by)
{
    size_t used = 0;
    for (struct nmk_glyph g; at < end; at += g.bytes) {
        g = glyph(r, at);
        bool hyphen = nmk_glyph_is_minus(g.code);
        const char *part = hyphen ? by : r->source.text + at;
        size_t size = hyphen ? strlen(by) : g.bytes;
        if (used + size >= space)
            break;
        memcpy(out + used, part, size);
        used += size;
    }
    out[used] = '\0';
}

/* The name that was meant is broken, in either spelling, so that nothing is said of its other uses. */
static void forget_hyphenated(struct nmk_reader *r, size_t at, size_t end, const char *proposed)
{
    (void)at;
    (void)end;
    size_t size = strlen(proposed);
    if (!nmk_names_find(&r->names, NMK_SCOPE_DESIGN, proposed, size)) {
        const char *text = nmk_design_text(r->design, proposed, size);
        nmk_names_add(&r->names, (struct nmk_name){.text = text, .size = size, .is = NMK_NAMED_BROKEN});
    }
}

static size_t refuse_hyphen(struct nmk_reader *r, size_t at, size_t end)
{
    char proposed[80], minus[100], hint[240];
    end = hyphenated_end(r, end);
    replace_hyphens(r, proposed, sizeof proposed, at, end, "_");
    replace_hyphens(r, minus, sizeof minus, at, end, " - ");
    snprintf(hint, sizeof hint, "a name: %s; a minus: %s", proposed, minus);
    nmk_read_error(r, span(r, at, end), "hyphen", hint, "A name has no hyphen, and a minus stands between spaces: `%s`",
                   quote(r, at, end).text);
    forget_hyphenated(r, at, end, proposed);
    return end;
}

static size_t bad(struct nmk_reader *r, size_t end)
{
    r->token.kind = NMK_T_BAD;
    return end;
}

static size_t refuse_sign(struct nmk_reader *r, size_t at, size_t size)
{
    struct nmk_glyph g = glyph(r, at);
    const char *hint = NULL;
    if (g.code == '.')
        hint = "a number begins with a digit: 0.5; a panel is named piece.panel, without spaces";
    else if (g.code == '\'' || g.code == 0x2018 || g.code == 0x2019)
        hint = "texts stand between double quotes: \"Tray\"";
    else if (g.code == '[' || g.code == ']' || g.code == '{' || g.code == '}')
        hint = "only round brackets: ( )";
    else if (g.code == ':' || g.code == ';')
        hint = "parts of a statement stand side by side, with spaces between";
    else if (g.code == 0x00B7 || g.code == 0x22C5)
        hint = "to multiply write *";
    else if (g.code == 0x00F7)
        hint = "to divide write /";
    else if (g.code == '^')
        hint = "write a * a; for a root sqrt(a)";
    nmk_read_error(r, span(r, at, at + size), "character", hint, "`%s` has no meaning here",
                   quote(r, at, at + size).text);
    return bad(r, at + size);
}

/* ---- tokens ---- */

static size_t scan_name(struct nmk_reader *r, size_t at)
{
    size_t end = name_end(r, at), dot = end;
    r->token.kind = NMK_T_WORD;
    if (end < line_end(r) && r->source.text[end] == '.' && name_end(r, end + 1) > end + 1) {
        r->token.kind = NMK_T_PAIR;
        r->token.dot = dot;
        end = name_end(r, end + 1);
    }
    return is_hyphenated(r, end) ? bad(r, refuse_hyphen(r, at, end)) : end;
}

/* A lone fraction behind a division is two numbers: long/1/2 is (long/1)/2. */
static size_t number_limit(const struct nmk_reader *r, size_t at)
{
    size_t end = at;
    if (r->token.kind != NMK_T_DIVIDE)
        return line_end(r);
    while (end < line_end(r) && nmk_glyph_is_digit((unsigned char)r->source.text[end]))
        end++;
    return end > at && end < line_end(r) && r->source.text[end] == '/' ? end : line_end(r);
}

static size_t scan_number(struct nmk_reader *r, size_t at)
{
    struct nmk_length_read read = {0};
    struct nmk_length_error error = {0};
    size_t limit = number_limit(r, at);
    enum nmk_status status = nmk_length_parse(&read, r->source.text + at, limit - at, false, &error);
    if (status) {
        size_t from = at + error.at, size = error.size ? error.size : 1;
        if (status == NMK_TOO_LARGE)
            r->too_large = true;
        nmk_read_error(r, span(r, from, from + size), error.code, *error.hint ? error.hint : NULL, "%s", error.message);
        return bad(r, from + size > at + 1 ? from + size : at + 1);
    }
    r->token.kind = read.unit == NMK_UNIT_NONE ? NMK_T_NUMBER : NMK_T_LENGTH;
    r->token.unit = read.unit;
    r->token.value = nmk_pool_take(&r->design->pool, &read.mm);
    size_t used = read.used;
    nmk_length_read_clear(&read);
    return at + used;
}

static bool is_quote(uint32_t code)
{
    return code == '"' || code == 0x201C || code == 0x201D || code == 0x201E;
}

/* "..." is closed by a straight quote, “...” by a curly one. */
static size_t scan_text(struct nmk_reader *r, size_t at)
{
    struct nmk_glyph open = glyph(r, at), g;
    size_t inner = at + open.bytes;
    for (size_t end = inner; (g = glyph(r, end)).bytes; end += g.bytes) {
        if (!is_quote(g.code) || g.code == 0x201E || (open.code == '"') != (g.code == '"'))
            continue;
        r->token.kind = NMK_T_TEXT;
        r->token.inner_at = inner;
        r->token.inner_size = end - inner;
        return end + g.bytes;
    }
    nmk_read_error(r, span(r, at, inner), "quote-open",
                   "a text ends on the line on which it begins, with a quote of the same kind",
                   "This quote is not closed");
    return bad(r, line_end(r));
}

struct sign {
    const char *text;
    enum nmk_token_kind kind;
};

/* The longer ones first. */
static const struct sign signs[] = {
    {"+/-", NMK_T_OFF}, {"+-", NMK_T_OFF},   {"\u00B1", NMK_T_OFF},   {"||", NMK_T_BARS},
    {"|", NMK_T_BAR},   {"+", NMK_T_PLUS},   {"-", NMK_T_MINUS},      {"\u2212", NMK_T_MINUS},
    {"*", NMK_T_TIMES}, {"/", NMK_T_DIVIDE}, {"(", NMK_T_OPEN},       {")", NMK_T_CLOSE},
    {",", NMK_T_COMMA}, {"=", NMK_T_EQUALS}, {"\u00D7", NMK_T_CROSS}, {"\u2013", NMK_T_MINUS},
};

static const struct sign *sign_at(const struct nmk_reader *r, size_t at)
{
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        size_t size = strlen(signs[i].text);
        if (size <= line_end(r) - at && !memcmp(r->source.text + at, signs[i].text, size))
            return &signs[i];
    }
    return NULL;
}

static bool begins_number(uint32_t code)
{
    return nmk_glyph_is_digit(code) || nmk_glyph_fraction(code) || code == 0x215F;
}

static size_t scan_comment(struct nmk_reader *r, size_t at)
{
    if (is_space_before(r, at)) {
        r->token.kind = NMK_T_END;
        return at;
    }
    nmk_read_error(r, span(r, at, at + 1), "comment", "put a space before #",
                   "A # here could be a slip: a comment begins after a space");
    return bad(r, line_end(r));
}

/* Fills r->token from the character at `at`; returns where the token ends. */
static size_t scan(struct nmk_reader *r, size_t at)
{
    struct nmk_glyph g = glyph(r, at);
    if (!g.bytes) {
        r->token.kind = NMK_T_END;
        return at;
    }
    if (begins_number(g.code))
        return scan_number(r, at);
    if (nmk_glyph_is_letter(g.code))
        return scan_name(r, at);
    if (is_quote(g.code))
        return scan_text(r, at);
    if (g.code == '#')
        return scan_comment(r, at);
    const struct sign *sign = sign_at(r, at);
    if (!sign)
        return refuse_sign(r, at, g.bytes);
    r->token.kind = sign->kind;
    return at + strlen(sign->text);
}

void nmk_read_next(struct nmk_reader *r)
{
    size_t at = nmk_glyph_skip_spaces(r->source.text, line_end(r), r->at);
    r->before_end = r->token.at + r->token.size;
    r->token.at = at;
    r->at = scan(r, at);
    r->token.at = at;
    r->token.size = r->at - at;
    r->token.space_before = is_space_before(r, at);
    r->token.space_after = is_space_at(r, r->at);
}

void nmk_read_go(struct nmk_reader *r, size_t at)
{
    r->token = (struct nmk_token){.kind = NMK_T_END, .at = at};
    r->at = at;
    nmk_read_next(r);
}

void nmk_read_begin_line(struct nmk_reader *r, size_t line)
{
    r->line = line;
    nmk_read_go(r, r->source.lines[line].start);
}

/* ---- asking and taking ---- */

struct nmk_span nmk_read_token_span(struct nmk_reader *r)
{
    return span(r, r->token.at, r->token.at + r->token.size);
}

struct nmk_span nmk_read_span_from(struct nmk_reader *r, size_t at)
{
    return span(r, at, r->before_end > at ? r->before_end : at);
}

struct nmk_quoted nmk_read_token_quote(const struct nmk_reader *r)
{
    return quote(r, r->token.at, r->token.at + r->token.size);
}

bool nmk_read_is_word(const struct nmk_reader *r, const char *word)
{
    return r->token.kind == NMK_T_WORD && r->token.size == strlen(word) &&
           !memcmp(r->source.text + r->token.at, word, r->token.size);
}

bool nmk_read_take_word(struct nmk_reader *r, const char *word)
{
    bool is = nmk_read_is_word(r, word);
    if (is)
        nmk_read_next(r);
    return is;
}

bool nmk_read_take(struct nmk_reader *r, enum nmk_token_kind kind)
{
    bool is = r->token.kind == kind;
    if (is)
        nmk_read_next(r);
    return is;
}

bool nmk_read_expect_word(struct nmk_reader *r, const char *word, const char *hint)
{
    char what[40];
    if (nmk_read_take_word(r, word))
        return true;
    snprintf(what, sizeof what, "`%s`", word);
    return nmk_read_expected(r, what, hint);
}

bool nmk_read_is_cross(const struct nmk_reader *r)
{
    return r->token.kind == NMK_T_CROSS || nmk_read_is_word(r, "x");
}

bool nmk_read_take_cross(struct nmk_reader *r)
{
    const char *text = r->source.text + r->token.at;
    if (nmk_read_is_cross(r) || nmk_read_is_word(r, "X"))
        nmk_read_next(r);
    else if (r->token.kind == NMK_T_WORD && r->token.size > 1 && *text == 'x' &&
             nmk_glyph_is_digit((unsigned char)text[1]))
        nmk_read_go(r, r->token.at + 1);
    else
        return false;
    return true;
}

bool nmk_read_expect_end(struct nmk_reader *r)
{
    return r->token.kind == NMK_T_END || nmk_read_expected(r, "the end of the statement", NULL);
}
