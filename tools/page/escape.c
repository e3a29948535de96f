#include "page/escape.h"

#include <string.h>

#include "ground/letters.h"
#include "ground/store.h"

/* ---- HTML ---- */

static const char *entity(char c)
{
    switch (c) {
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '&': return "&amp;";
    case '"': return "&quot;";
    case '\'': return "&#39;";
    default: return NULL;
    }
}

void escape_html(struct sink *out, const char *text)
{
    char *plain = letters_plain(text, strlen(text));
    for (const char *at = plain; *at; at++) {
        const char *name = entity(*at);
        sink_add(out, name ? name : at, name ? strlen(name) : 1);
    }
    store_free(plain);
}

/* ---- Markdown ---- */

/* Does the letter mean something there? At the start of a text `-`, `+` and `=` would, and the point or bracket behind a
 * number (lists, headings); elsewhere the points of an address. */
static bool is_special(const char *text, const char *at)
{
    static const char always[] = "\\`*_{}[]#|~^$!";
    if (strchr(always, *at))
        return true;
    if (at == text || strspn(text, " ") == (size_t)(at - text))
        return strchr("-+=:", *at);
    if (*at == '.' || *at == ')')
        return strspn(text, "0123456789 ") == (size_t)(at - text) || (at - text >= 3 && !strncmp(at - 3, "www", 3));
    return (*at == ':' && at[1] == '/') || *at == '@';
}

void escape_markdown(struct sink *out, const char *text)
{
    char *plain = letters_plain(text, strlen(text));
    for (const char *at = plain; *at; at++) {
        const char *name = entity(*at);
        if (name) {
            sink_string(out, name);
            continue;
        }
        if (is_special(plain, at))
            sink_string(out, "\\");
        sink_add(out, at, 1);
    }
    store_free(plain);
}

/* ---- CSV (RFC 4180) ---- */

/* Also behind spaces, and in the wide letters that a spreadsheet may take for the narrow ones. */
static bool is_formula(const char *text)
{
    static const char *const wide[] = {"\xEF\xBC\x9D", "\xEF\xBC\x8B", "\xEF\xBC\x8D", "\xEF\xBC\xA0"}; /* = + - @ */
    text += strspn(text, " ");
    for (size_t i = 0; i < sizeof wide / sizeof *wide; i++)
        if (!strncmp(text, wide[i], strlen(wide[i])))
            return true;
    return *text && strchr("=+-@\t\r|%", *text);
}

void escape_csv(struct sink *out, const char *text)
{
    bool formula = is_formula(text);
    char *plain = letters_plain(text, strlen(text));
    sink_string(out, formula ? "\"'" : "\"");
    for (const char *at = plain; *at; at++)
        sink_add(out, *at == '"' ? "\"\"" : at, *at == '"' ? 2 : 1);
    sink_string(out, "\"");
    store_free(plain);
}

/* ---- fractions as they are typed ---- */

void escape_typed(struct sink *out, const char *text)
{
    char *plain = letters_plain(text, strlen(text));
    for (const char *at = plain; *at;) {
        bool thin = !strncmp(at, "\xE2\x80\x89", 3), slash = !strncmp(at, "\xE2\x81\x84", 3);
        sink_add(out, thin ? " " : slash ? "/" : at, 1);
        at += thin || slash ? 3 : 1;
    }
    store_free(plain);
}
