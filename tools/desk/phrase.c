#include "desk/phrase.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "ground/sink.h"
#include "ground/store.h"
#include "nearmark/length.h"

static const char *const openings[] = {
    "what is", "what's", "whats", "how much is", "how long is", "how big is", "calculate", "calc", "convert", "show me", "show", "=",
};
static const struct {
    const char *words, *times;
} shares[] = {
    {"half of", "(1/2) * "},      {"a half of", "(1/2) * "},        {"half", "(1/2) * "},
    {"a third of", "(1/3) * "},   {"one third of", "(1/3) * "},     {"two thirds of", "(2/3) * "},
    {"a quarter of", "(1/4) * "}, {"one quarter of", "(1/4) * "},   {"three quarters of", "(3/4) * "},
    {"quarter of", "(1/4) * "},   {"third of", "(1/3) * "},         {"twice", "2 * "},
    {"double", "2 * "},           {"three times", "3 * "},
};
/* Between two parts; `and` only before a fraction, `to` only before the unit at the end. */
static const struct {
    const char *word, *sign;
} signs[] = {{"plus", "+"}, {"minus", "-"}, {"times", "*"}, {"less", "-"}, {"divided by", "/"}, {"over", "/"}};

/* Behind the words, if the text begins with them; else NULL. */
static const char *behind(const char *text, const char *words)
{
    size_t size = strlen(words);
    if (strncasecmp(text, words, size) || (isalpha((unsigned char)words[size - 1]) && isalnum((unsigned char)text[size])))
        return NULL;
    return text + size + strspn(text + size, " \t:");
}

static const char *skip_openings(const char *text)
{
    for (size_t i = 0; i < sizeof openings / sizeof *openings; i++) {
        const char *rest = behind(text, openings[i]);
        if (rest && *rest)
            return skip_openings(rest);
    }
    return text;
}

static const char *take_share(struct sink *out, const char *text)
{
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        const char *rest = behind(text, shares[i].words);
        if (rest && *rest) {
            sink_string(out, shares[i].times);
            return rest;
        }
    }
    size_t number = strspn(text, "0123456789/");
    const char *of = number ? text + number + strspn(text + number, " ") : text;
    const char *rest = number && of > text + number ? behind(of, "of") : NULL;
    if (!rest)
        return text;
    sink_format(out, "(%.*s) * ", (int)number, text);
    return rest;
}

/* `+ 3 mm`, `* 2`, `- 3 mm`: goes on from the last result. */
static bool goes_on(const char *text)
{
    return (strchr("+*/", *text) && *text) || !strncmp(text, "\xC3\x97", 2) || !strncmp(text, "\xC3\xB7", 2) ||
           (*text == '-' && text[1] == ' ');
}

static bool is_wish(const char *text)
{
    static const char *const fractions[] = {"halves", "quarters", "eighths", "sixteenths", "32nds", "64ths"};
    for (size_t i = 0; i < sizeof fractions / sizeof *fractions; i++)
        if (!strcasecmp(text, fractions[i]))
            return true;
    return nmk_unit_find(text, strlen(text)) != NMK_UNIT_NONE;
}

/* What stands for the word at `at` (behind a space); how many bytes it takes the place of, 0: it stays. */
static size_t replace(struct sink *out, const char *at, char before)
{
    const char *rest = behind(at, "and");
    size_t digits = rest ? strspn(rest, "0123456789") : 0;
    if (digits && rest[digits] == '/' && isdigit((unsigned char)before))
        return (size_t)(rest - at);
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        if ((rest = behind(at, signs[i].word)) && *rest && !behind(rest, "than")) {
            sink_format(out, "%s ", signs[i].sign);
            return (size_t)(rest - at);
        }
    rest = behind(at, "to");
    rest = rest ? rest : behind(at, "as");
    if (!rest || !is_wish(rest))
        return 0;
    sink_string(out, "in ");
    return (size_t)(rest - at);
}

static void add_rest(struct sink *out, const char *text)
{
    char before = 0;
    for (const char *at = text; *at;) {
        size_t taken = at > text && at[-1] == ' ' ? replace(out, at, before) : 0;
        if (!taken) {
            sink_add(out, at, 1);
            before = *at == ' ' ? before : *at;
            taken = 1;
        }
        at += taken;
    }
}

char *phrase_sum(const char *text)
{
    struct sink out = {0};
    char *plain = store_copy(text, strlen(text));
    size_t size = strlen(plain);
    while (size && strchr(" \t?=!", plain[size - 1]))
        plain[--size] = '\0';
    const char *at = skip_openings(plain + strspn(plain, " \t"));
    sink_string(&out, goes_on(at) ? "last " : "");
    at = take_share(&out, at);
    add_rest(&out, at);
    store_free(plain);
    return out.data;
}

int phrase_pair(const char *text, char **first, char **second)
{
    const char *by = strstr(text, " x ");
    by = by ? by : strstr(text, " X ");
    if (!by || strstr(by + 3, " x "))
        return 0;
    const char *unit = text + strlen(text);
    while (unit > by && (isalpha((unsigned char)unit[-1]) || strchr("\"'", unit[-1])))
        unit--;
    const char *last = by;
    while (last > text && last[-1] == ' ')
        last--;
    struct sink one = {0};
    sink_add(&one, text, (size_t)(last - text));
    if (last > text && (isdigit((unsigned char)last[-1]))) /* `10 x 15 cm`: the unit is of both */
        sink_format(&one, " %s", unit);
    *first = one.data;
    *second = store_copy(by + 3, strlen(by + 3));
    return 1;
}
