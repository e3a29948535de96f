#include "ground/json.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"

enum { RAT_ROOM = 128, WHOLE_ROOM = 24 };

/* ---- text ---- */

static void add_code(struct sink *out, uint32_t unit)
{
    char code[16];
    snprintf(code, sizeof code, "\\u%04X", (unsigned)unit);
    sink_add(out, code, 6);
}

/* Beyond U+FFFF as two halves (RFC 8259, section 7). */
static void add_ascii(struct sink *out, uint32_t c)
{
    if (c > 0xFFFF) {
        add_code(out, 0xD800 + ((c - 0x10000) >> 10));
        add_code(out, 0xDC00 + ((c - 0x10000) & 0x3FF));
    } else {
        add_code(out, c);
    }
}

static const char *short_escape(uint32_t c)
{
    switch (c) {
    case '"': return "\\\"";
    case '\\': return "\\\\";
    case '\b': return "\\b";
    case '\f': return "\\f";
    case '\n': return "\\n";
    case '\r': return "\\r";
    case '\t': return "\\t";
    default: return NULL;
    }
}

static bool in_script(const struct json *j, char c)
{
    return j->style == JSON_SCRIPT && (c == '<' || c == '>' || c == '&');
}

/* Bytes at the start of the text that stand for themselves. */
static size_t bare(const struct json *j, const char *text, size_t size)
{
    size_t n = 0;
    while (n < size && text[n] >= ' ' && text[n] < 0x7F && text[n] != '"' && text[n] != '\\' && !in_script(j, text[n]))
        n++;
    return n;
}

/* What is no UTF-8, and a control character where the text is to be plain, becomes U+FFFD. */
static void add_letter(struct json *j, const char *at, struct letter l, bool plain)
{
    uint32_t c = !l.valid || (plain && letter_is_control(l)) ? 0xFFFD : l.code;
    const char *escape = short_escape(c);
    bool coded = c < 0x20 || (c < 0x7F ? in_script(j, (char)c) : j->style == JSON_SCRIPT);
    if (escape)
        sink_string(j->out, escape);
    else if (coded)
        add_ascii(j->out, c);
    else if (c == 0xFFFD)
        sink_string(j->out, "\xEF\xBF\xBD");
    else
        sink_add(j->out, at, l.bytes);
}

static void add_string(struct json *j, const char *text, size_t size, bool plain)
{
    sink_add(j->out, "\"", 1);
    for (size_t at = 0; at < size;) {
        size_t run = bare(j, text + at, size - at);
        sink_add(j->out, text + at, run);
        at += run;
        if (at == size)
            break;
        struct letter l = letter_get(text, size, at);
        add_letter(j, text + at, l, plain);
        at += l.bytes;
    }
    sink_add(j->out, "\"", 1);
}

/* ---- between the values ---- */

static void new_line(struct json *j)
{
    static const char indented[] = "\n                "; /* a space for each of JSON_DEPTH brackets */
    static_assert(sizeof indented == JSON_DEPTH + 2, "the deepest line");
    sink_add(j->out, indented, (size_t)j->depth + 1);
}

/* Nearly all are of small letters and `_`, which need no escape. */
static void add_key(struct json *j, const char *key)
{
    size_t size = 0;
    while (key[size] >= '_' && key[size] <= 'z')
        size++;
    if (key[size]) {
        add_string(j, key, strlen(key), false);
        return;
    }
    sink_add(j->out, "\"", 1);
    sink_add(j->out, key, size);
    sink_add(j->out, "\"", 1);
}

/* What stands before a value: a comma behind the one before it, its place, its key. */
static void before(struct json *j, const char *key)
{
    assert((key != NULL) == (j->depth && j->closing[j->depth - 1] == '}'));
    if (!j->empty)
        sink_add(j->out, ", ", j->style == JSON_LINE ? 2 : 1);
    if (j->depth && j->style == JSON_INDENTED)
        new_line(j);
    j->empty = false;
    if (!key)
        return;
    add_key(j, key);
    sink_add(j->out, ": ", j->style == JSON_SCRIPT ? 1 : 2);
}

static void open_bracket(struct json *j, const char *key, const char *bracket, char closing)
{
    before(j, key);
    assert(j->depth < JSON_DEPTH);
    sink_add(j->out, bracket, 1);
    j->closing[j->depth++] = closing;
    j->empty = true;
}

static void word(struct json *j, const char *key, const char *value)
{
    before(j, key);
    sink_string(j->out, value);
}

/* ---- what others see ---- */

void json_begin(struct json *j, struct sink *out, enum json_style style)
{
    *j = (struct json){.out = out, .style = style, .empty = true};
}

void json_end(struct json *j)
{
    while (j->depth)
        json_close(j);
    if (j->style == JSON_INDENTED)
        sink_add(j->out, "\n", 1);
}

void json_object(struct json *j, const char *key)
{
    open_bracket(j, key, "{", '}');
}

void json_list(struct json *j, const char *key)
{
    open_bracket(j, key, "[", ']');
}

void json_close(struct json *j)
{
    assert(j->depth);
    j->depth--;
    if (!j->empty && j->style == JSON_INDENTED)
        new_line(j);
    sink_add(j->out, &j->closing[j->depth], 1);
    j->empty = false;
}

void json_text(struct json *j, const char *key, const char *text)
{
    if (!text) {
        json_null(j, key);
        return;
    }
    before(j, key);
    add_string(j, text, strlen(text), true);
}

void json_exact_text(struct json *j, const char *key, const char *text, size_t size)
{
    before(j, key);
    add_string(j, text, size, false);
}

void json_rat(struct json *j, const char *key, const struct nmk_rat *r)
{
    char room[RAT_ROOM];
    if (!r) {
        json_null(j, key);
        return;
    }
    before(j, key);
    size_t size = nmk_rat_print(room, sizeof room, r);
    char *text = size < sizeof room ? NULL : figure_rat(r);
    sink_add(j->out, "\"", 1); /* digits and a stroke: nothing to escape */
    sink_add(j->out, text ? text : room, size);
    sink_add(j->out, "\"", 1);
    store_free(text);
}

void json_whole(struct json *j, const char *key, int64_t n)
{
    char room[WHOLE_ROOM], *at = room + sizeof room;
    uint64_t left = n < 0 ? 0 - (uint64_t)n : (uint64_t)n;
    do
        *--at = (char)('0' + left % 10);
    while (left /= 10);
    if (n < 0)
        *--at = '-';
    before(j, key);
    sink_add(j->out, at, (size_t)(room + sizeof room - at));
}

void json_count(struct json *j, const char *key, size_t n)
{
    json_whole(j, key, (int64_t)n);
}

void json_truth(struct json *j, const char *key, bool is)
{
    word(j, key, is ? "true" : "false");
}

void json_null(struct json *j, const char *key)
{
    word(j, key, "null");
}

void json_whole_if(struct json *j, const char *key, bool known, int64_t n)
{
    if (known)
        json_whole(j, key, n);
    else
        json_null(j, key);
}
