#include "proof/word_list.h"

#include <string.h>

#include "ground/letters.h"
#include "ground/sink.h"
#include "ground/store.h"

enum { MOST_TITLE = 48, LEAST_FULL = 55 }; /* a line of so many letters may go on below */

/* One line of the file, its marks taken off. */
struct reading {
    struct word_list *list;
    const char *text;
    size_t size, at, line, cell;
    bool table;
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static char small(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c + 'a' - 'A') : c;
}

bool token_is(const struct token *t, const char *word)
{
    return t->kind == TOKEN_WORD && !strcmp(t->text, word);
}

bool token_among(const struct token *t, const char *words)
{
    if (t->kind != TOKEN_WORD)
        return false;
    size_t size = strlen(t->text);
    for (const char *at = strstr(words, t->text); at; at = strstr(at + 1, t->text))
        if (at > words && at[-1] == ' ' && at[size] == ' ')
            return true;
    return false;
}

/* ---- taking off Markdown's marks ---- */

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f';
}

static bool is_punctuation(char c)
{
    return c > ' ' && c < 0x7F && !is_digit(c) && !is_letter(c);
}

/* Behind a link's words: how many bytes `](target)` has; 0: it is none. */
static size_t target_size(const char *text, size_t size)
{
    if (size < 2 || text[0] != ']' || text[1] != '(')
        return 0;
    const char *end = memchr(text, ')', size);
    return end ? (size_t)(end - text) + 1 : 0;
}

/* "&lt;", as a Markdown text has it: how many bytes; 0: none. */
static size_t entity_size(const char **out, const char *text, size_t size)
{
    static const char *const entities[][2] = {{"&lt;", "<"},  {"&gt;", ">"},   {"&amp;", "&"},         {"&quot;", "\""},
                                              {"&#39;", "'"}, {"&nbsp;", " "}, {"&times;", "\xC3\x97"}};
    for (size_t i = 0; i < sizeof entities / sizeof *entities; i++) {
        size_t length = strlen(entities[i][0]);
        if (size < length || memcmp(text, entities[i][0], length) != 0)
            continue;
        *out = entities[i][1];
        return length;
    }
    return 0;
}

static void clean(struct sink *out, const char *text, size_t size)
{
    sink_add(out, "", 0);
    for (size_t i = 0; i < size; i++) {
        size_t target = target_size(text + i, size - i);
        const char *sign = "";
        size_t entity = entity_size(&sign, text + i, size - i);
        if (target) {
            sink_add(out, " ", 1);
            i += target - 1;
        } else if (entity) {
            sink_string(out, sign);
            i += entity - 1;
        } else if (text[i] == '\\' && i + 1 < size && is_punctuation(text[i + 1])) {
            i++;
            sink_add(out, text[i] == '|' ? " " : &text[i], 1);
        } else if (text[i] != '*' && text[i] != '`')
            sink_add(out, text[i] == '\0' ? " " : &text[i], 1);
    }
}

/* ---- tokens ---- */

static struct token *add_token(struct reading *r, enum token_kind kind)
{
    struct word_list *list = r->list;
    if ((list->token_count & (list->token_count - 1)) == 0)
        list->tokens = store_resize(list->tokens, (list->token_count ? list->token_count * 2 : 1) * sizeof *list->tokens);
    struct token *t = &list->tokens[list->token_count++];
    *t = (struct token){.kind = kind, .line = r->line, .cell = r->cell, .unit = NMK_UNIT_NONE};
    return t;
}

static void add_sign(struct reading *r, char sign, size_t size)
{
    add_token(r, TOKEN_SIGN)->sign = sign;
    r->at += size;
}

static const char *const count_words[] = {"one",   "two",   "three", "four", "five",   "six",
                                          "seven", "eight", "nine",  "ten",  "eleven", "twelve"};

static void add_word(struct reading *r, size_t size)
{
    char *word = store_copy(r->text + r->at, size);
    for (size_t i = 0; i < size; i++)
        word[i] = small(word[i]);
    r->at += size;
    for (size_t i = 0; i < sizeof count_words / sizeof *count_words; i++) {
        if (strcmp(word, count_words[i]) != 0)
            continue;
        struct token *t = add_token(r, TOKEN_FIGURE);
        t->text = word;
        t->in_words = true;
        nmk_rat_set_int(&t->mm, (int64_t)i + 1);
        return;
    }
    add_token(r, TOKEN_WORD)->text = word;
}

/* A fraction that is one character, or a raised digit before U+2044. */
static bool is_fraction_sign(const char *text, size_t size)
{
    static const char *const signs[] = {"\xC2\xBC", "\xC2\xBD", "\xC2\xBE", "\xC2\xB9", "\xC2\xB2", "\xC2\xB3"};
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        if (size >= 2 && !memcmp(text, signs[i], 2))
            return true;
    if (size >= 3 && !memcmp(text, "\xE2\x85", 2))
        return (unsigned char)text[2] >= 0x90 && (unsigned char)text[2] <= 0x9E;
    return size >= 3 && !memcmp(text, "\xE2\x81", 2) && (unsigned char)text[2] >= 0xB4 && (unsigned char)text[2] <= 0xB9;
}

/* The word that begins there, in small letters; at most 15 letters of it. */
static void next_word(char word[16], const char *text, size_t size)
{
    size_t count = 0, i = 0;
    while (i < size && is_space(text[i]))
        i++;
    for (; i < size && is_letter(text[i]) && count < 15; i++)
        word[count++] = small(text[i]);
    word[count] = '\0';
}

static bool is_among(const char *word, const char *words)
{
    struct token t = {.kind = TOKEN_WORD, .text = store_copy(word, strlen(word))};
    bool is = *word && token_among(&t, words);
    store_free(t.text);
    return is;
}

/* "fold 2 in half": no unit. */
static bool is_no_inch(const struct reading *r, const struct nmk_length_read *read)
{
    char word[16];
    const char *end = r->text + r->at + read->used;
    if (read->unit != NMK_IN || read->used < 2 || small(end[-2]) != 'i' || small(end[-1]) != 'n')
        return false;
    size_t rest = r->size - r->at - read->used;
    next_word(word, end, rest);
    if (is_among(word, " all ") && rest > 4) { /* " all": `1 in all round` */
        next_word(word, end + 4, rest - 4);
        return !is_among(word, " round around ");
    }
    return is_among(word, " half the a an each this that place order turn total all both your ");
}

/* What is counted or weighed so is no length. */
static bool is_foreign(const char *text, size_t size)
{
    char word[16];
    next_word(word, text, size);
    return (size && *text == '%') || (size >= 2 && text[0] == ' ' && text[1] == '%') ||
           is_among(
               word,
               " gsm g gr gram grams lb lbs kg pt pts px dpi m min minute minutes sec second seconds hour hours day days ");
}

/* Digits with a point or comma among them, and no more. */
static size_t digits_size(const char *text, size_t size)
{
    size_t i = 0;
    while (i < size && (is_digit(text[i]) || ((text[i] == '.' || text[i] == ',') && i + 1 < size && is_digit(text[i + 1]))))
        i++;
    return i ? i : 1;
}

/* `5 5/16-in`, `28-mm` */
static void take_hyphened_unit(const struct reading *r, struct nmk_length_read *read)
{
    const char *rest = r->text + r->at + read->used;
    size_t size = r->size - r->at - read->used, letters = 1;
    while (letters < size && is_letter(rest[letters]))
        letters++;
    if (read->unit != NMK_UNIT_NONE || size < 2 || *rest != '-' || letters == 1)
        return;
    enum nmk_unit unit = nmk_unit_find(rest + 1, letters - 1);
    if (unit == NMK_UNIT_NONE)
        return;
    struct nmk_rat one = {0};
    nmk_unit_mm(&one, unit);
    nmk_rat_mul(&read->mm, &read->mm, &one);
    nmk_rat_clear(&one);
    read->unit = unit;
    read->used += letters;
}

static void add_figure(struct reading *r)
{
    const char *text = r->text + r->at;
    size_t size = r->size - r->at;
    struct nmk_length_read read = {0};
    struct nmk_length_error error = {.code = ""};
    bool readable = !nmk_length_parse(&read, text, size, false, &error), plain = true;
    if (readable && is_no_inch(r, &read))
        plain = nmk_length_parse(&read, text, read.used - 2, false, NULL) == NMK_OK;
    bool other_unit =
        !readable && (!strcmp(error.code, "pt") || !strcmp(error.code, "unknown-unit") || !strcmp(error.code, "area"));
    if (!readable) {
        read.used = digits_size(text, size);
        read.unit = NMK_UNIT_NONE;
    }
    if (readable && plain)
        take_hyphened_unit(r, &read);
    struct token *t = add_token(r, TOKEN_FIGURE);
    size_t used = read.used;
    while (used > 1 && is_space(text[used - 1]))
        used--;
    t->text = store_copy(text, used);
    nmk_rat_swap(&t->mm, &read.mm);
    t->unit = read.unit;
    t->unreadable = !readable && !other_unit;
    t->foreign = other_unit || (read.unit == NMK_UNIT_NONE && is_foreign(text + read.used, size - read.used));
    r->at += read.used;
    nmk_length_read_clear(&read);
}

/* x or × between figures, also `12x12` and `2x`. */
static bool is_times(const struct reading *r)
{
    const char *text = r->text + r->at;
    size_t size = r->size - r->at;
    if (size >= 2 && !memcmp(text, "\xC3\x97", 2))
        return true;
    return small(*text) == 'x' && (size == 1 || !is_letter(text[1]));
}

static size_t word_size(const char *text, size_t size)
{
    size_t i = 0;
    while (i < size) {
        struct letter l = letter_get(text, size, i);
        bool part = l.code >= 0x80 ? l.valid && !(l.code >= 0x2000 && l.code <= 0x206F) && l.code != 0xA0 && l.code != 0xB1 &&
                                         l.code != 0xD7
                                   : is_letter(text[i]) || is_digit(text[i]);
        if (!part || (l.code >= 0x80 && is_fraction_sign(text + i, size - i)))
            break;
        i += l.bytes;
    }
    return i;
}

static void add_other(struct reading *r)
{
    const char *text = r->text + r->at;
    size_t size = r->size - r->at;
    struct letter l = letter_get(text, size, 0);
    if (l.code == 0xB1)
        add_sign(r, '~', l.bytes);
    else if (l.code == 0x2026)
        add_sign(r, '_', l.bytes);
    else if (size >= 3 && !memcmp(text, "+/-", 3))
        add_sign(r, '~', 3);
    else if (size >= 2 && !memcmp(text, "+-", 2))
        add_sign(r, '~', 2);
    else if (r->table && *text == '|') {
        r->cell++;
        add_sign(r, '|', 1);
    } else if (*text == '.' && size > 1 && !is_space(text[1]))
        r->at++;
    else if (*text == '\'' && size > 1 && is_letter(text[1]))
        r->at++;
    else if (is_space(*text) || *text == '_' || l.code == 0xA0 || l.code == 0x2009 || l.code == 0x202F || l.code == 0xFEFF)
        r->at += l.bytes ? l.bytes : 1;
    else
        add_sign(r, memchr(",;.:()|/=+-&", *text, 12) ? *text : '?', l.bytes ? l.bytes : 1);
}

static void add_tokens(struct reading *r)
{
    while (r->at < r->size) {
        const char *text = r->text + r->at;
        size_t word = word_size(text, r->size - r->at);
        if (is_digit(*text) || is_fraction_sign(text, r->size - r->at))
            add_figure(r);
        else if (is_times(r)) {
            r->at += *text == 'x' || *text == 'X' ? 1 : 2;
            add_token(r, TOKEN_TIMES);
        } else if (word)
            add_word(r, word);
        else
            add_other(r);
    }
}

/* ---- rows ---- */

struct shape_of_line {
    size_t indent, from; /* from: behind the marks */
    size_t text;         /* where its words begin: behind the number of a step, too */
    int level;
    bool table, ruler, item, numbered, blank, small_first, wraps;
};

static bool is_ruler(const char *text, size_t size)
{
    size_t dashes = 0;
    for (size_t i = 0; i < size; i++) {
        if (!memchr("|:-= \t\r", text[i], 7))
            return false;
        dashes += text[i] == '-' || text[i] == '=';
    }
    return dashes >= 2;
}

/* "lid: cut 1" begins something of its own. */
static bool is_title(const char *text, size_t size)
{
    return memchr(text, ':', size < MOST_TITLE ? size : MOST_TITLE) != NULL;
}

/* "score 3 mm", "cut at 20 mm" begins a sentence of its own, however long the line above is. */
static bool is_work(const char *text, size_t size)
{
    char word[16];
    next_word(word, text, size);
    if (!is_among(word, " cut score "))
        return false;
    size_t at = strlen(word);
    next_word(word, text + at, size - at);
    for (at += !strcmp(word, "at") ? 3 : 0; at < size && is_space(text[at]);)
        at++;
    return at < size && is_digit(text[at]);
}

static size_t letter_count(const char *text, size_t size)
{
    size_t count = 0;
    for (size_t i = 0; i < size; i++)
        count += ((unsigned char)text[i] & 0xC0) != 0x80;
    return count;
}

/* "12. ", "3) ": how many bytes; 0: it is no step's number. */
static size_t number_size(const char *text, size_t size)
{
    size_t digits = 0;
    while (digits < size && is_digit(text[digits]))
        digits++;
    bool is = digits && digits <= 3 && digits + 1 < size && (text[digits] == '.' || text[digits] == ')') &&
              is_space(text[digits + 1]);
    return is ? digits + 1 : 0;
}

static struct shape_of_line shape_of(const char *text, size_t size)
{
    struct shape_of_line s = {0};
    while (s.from < size && (is_space(text[s.from]) || text[s.from] == '>'))
        s.from++;
    s.indent = s.from;
    s.blank = s.from == size;
    if (s.blank)
        return s;
    s.table = text[s.from] == '|';
    s.ruler = is_ruler(text + s.from, size - s.from);
    while (s.from + (size_t)s.level < size && text[s.from + (size_t)s.level] == '#')
        s.level++;
    s.from += (size_t)s.level;
    if (s.from + 1 < size && memchr("-*+", text[s.from], 3) && is_space(text[s.from + 1])) {
        s.item = true;
        s.from++;
    }
    char last = text[size - 1];
    for (size_t i = size; i && is_space(last); i--)
        last = text[i - 1];
    size_t at = s.from;
    while (at < size && is_space(text[at]))
        at++;
    size_t number = number_size(text + at, size - at);
    s.numbered = number > 0;
    s.small_first = at < size && ((text[at] >= 'a' && text[at] <= 'z') || is_digit(text[at])) && !number &&
                    !is_title(text + at, size - at) && !is_work(text + at, size - at);
    for (at += number; number && at < size && is_space(text[at]);)
        at++;
    s.text = at;
    s.wraps = at < size && !is_digit(text[at]) && !s.table && !s.level && !s.ruler && last != '.' && last != ':' &&
              (letter_count(text, size) >= LEAST_FULL || last == ',');
    return s;
}

static void begin_row(struct word_list *list, const struct shape_of_line *s, bool blank_before)
{
    if ((list->row_count & (list->row_count - 1)) == 0)
        list->rows = store_resize(list->rows, (list->row_count ? list->row_count * 2 : 1) * sizeof *list->rows);
    list->rows[list->row_count++] = (struct row){.first = list->token_count,
                                                 .level = s->level,
                                                 .table = s->table,
                                                 .ruler = s->ruler,
                                                 .item = s->item,
                                                 .numbered = s->numbered,
                                                 .blank_before = blank_before};
}

static void read_line(struct word_list *list, const char *text, size_t size, size_t number, bool table)
{
    struct sink plain = {0};
    clean(&plain, text, size);
    struct reading r = {.list = list, .text = plain.data, .size = plain.size, .line = number, .table = table};
    add_tokens(&r);
    sink_drop(&plain);
}

void word_list_read(struct word_list *out, const char *text, size_t size)
{
    struct word_list list = {0};
    bool wraps = false, blank = true;
    size_t number = 0, indent = 0, words = 0;
    for (size_t at = 0; at < size;) {
        const char *end = memchr(text + at, '\n', size - at);
        size_t line = end ? (size_t)(end - text) - at : size - at;
        struct shape_of_line s = shape_of(text + at, line);
        number++;
        if (!s.blank &&
            !(wraps && s.small_first && (s.indent == indent || s.indent == words) && !s.item && !s.level && !s.table))
            begin_row(&list, &s, blank);
        if (!s.blank && !s.ruler)
            read_line(&list, text + at + s.from, line - s.from, number, s.table);
        if (!s.blank)
            list.rows[list.row_count - 1].count = list.token_count - list.rows[list.row_count - 1].first;
        wraps = s.wraps;
        blank = s.blank;
        indent = s.indent;
        words = s.text;
        at += line + 1;
    }
    *out = list;
}

void word_list_clear(struct word_list *list)
{
    for (size_t i = 0; i < list->token_count; i++) {
        store_free(list->tokens[i].text);
        nmk_rat_clear(&list->tokens[i].mm);
    }
    store_free(list->tokens);
    store_free(list->rows);
    *list = (struct word_list){0};
}
