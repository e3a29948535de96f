#include "proof/trade_word.h"

#include <string.h>

bool trade_has(const struct token *tokens, size_t count, const char *words)
{
    for (size_t i = 0; i < count; i++)
        if (!tokens[i].known && token_among(&tokens[i], words))
            return true;
    return false;
}

static enum entry_kind kind_of(const struct token *t)
{
    static const struct {
        enum entry_kind kind;
        const char *words;
    } kinds[] = {
        {ENTRY_SCORE, " score scores scored scoring fold folds folded crease creases creased "},
        {ENTRY_CUT, " cut cuts cutting trim trimmed size sizes "},
        {ENTRY_PUNCH, " punch punched punches hole opening "},
        {ENTRY_GLUE, " glue glued tab "},
    };
    for (size_t i = 0; !t->known && i < sizeof kinds / sizeof *kinds; i++)
        if (token_among(t, kinds[i].words))
            return kinds[i].kind;
    return ENTRY_ANY;
}

enum entry_kind trade_kind(const struct token *tokens, size_t count, bool backward)
{
    for (size_t i = 0; i < count; i++) {
        enum entry_kind kind = kind_of(&tokens[backward ? count - 1 - i : i]);
        if (kind != ENTRY_ANY)
            return kind;
    }
    return ENTRY_ANY;
}

int trade_way(const struct token *tokens, size_t count, bool backward)
{
    for (size_t i = 0; i < count; i++) {
        const struct token *t = &tokens[backward ? count - 1 - i : i];
        if (t->known)
            continue;
        if (token_among(t, " across width wide widthwise breadth horizontal horizontally w "))
            return NMK_ACROSS;
        if (token_among(t, " down height high tall vertical vertically heightwise h "))
            return NMK_DOWN;
    }
    return -1;
}

bool trade_is_side(const struct token *t)
{
    return token_among(t, " edge edges side sides end ends ");
}

/* "the left edge", "from the left", but not "the top layer". */
static bool is_edge(const struct token *tokens, size_t count, size_t at)
{
    if (at + 1 < count && (trade_is_side(&tokens[at + 1]) ||
                           (at + 2 < count && token_is(&tokens[at + 1], "hand") && trade_is_side(&tokens[at + 2]))))
        return true;
    for (size_t back = 1; back <= 2 && back <= at; back++)
        if (token_among(&tokens[at - back], " from off at "))
            return back == 1 || token_is(&tokens[at - 1], "the");
    return false;
}

static bool is_before_sides(const struct token *tokens, size_t count, size_t at)
{
    for (size_t i = at + 1; i < count && i <= at + 3; i++)
        if (trade_is_side(&tokens[i]))
            return true;
    return false;
}

/* "left and right" */
static bool is_couple(const struct token *tokens, size_t count, size_t at, const char *const words[2])
{
    bool joined = at + 2 < count && (token_is(&tokens[at + 1], "and") ||
                                     (tokens[at + 1].kind == TOKEN_SIGN && memchr("&+/", tokens[at + 1].sign, 3)));
    return joined && !tokens[at + 2].known && token_among(&tokens[at], words[0]) && token_among(&tokens[at + 2], words[1]);
}

/* "left and right, top and bottom": all edges; one couple alone: both of its way. */
static enum trade_edge couples(int *way, const struct token *tokens, size_t count, const char *const words[2][2])
{
    bool found[2] = {false, false};
    for (size_t at = 0; at < count; at++)
        for (int w = 0; w < 2; w++)
            found[w] = found[w] || is_couple(tokens, count, at, words[w]);
    if (found[0] && found[1])
        return EDGE_ALL;
    if (!found[0] && !found[1])
        return EDGE_NONE;
    *way = found[1];
    return EDGE_BOTH;
}

enum trade_edge trade_edge_of(int *way, const struct token *tokens, size_t count)
{
    static const char *const words[2][2] = {{" left ", " right "}, {" upper top ", " lower bottom "}};
    enum trade_edge couple = couples(way, tokens, count, words);
    if (couple != EDGE_NONE)
        return couple;
    for (size_t at = 0; at < count; at++) {
        for (int w = 0; w < 2; w++)
            for (int last = 0; last < 2; last++)
                if (!tokens[at].known && token_among(&tokens[at], words[w][last]) && is_edge(tokens, count, at)) {
                    *way = w;
                    return last ? EDGE_LAST : EDGE_FIRST;
                }
        if (token_among(&tokens[at], " both either ") && is_before_sides(tokens, count, at))
            return EDGE_BOTH;
        if (token_among(&tokens[at], " all each every ") && is_before_sides(tokens, count, at))
            return EDGE_ALL;
        if (token_is(&tokens[at], "all") && at + 1 < count && token_among(&tokens[at + 1], " round around "))
            return EDGE_ALL;
    }
    return EDGE_NONE;
}

enum entry_kind trade_corner(const struct token *tokens, size_t count)
{
    if (trade_has(tokens, count, " taper tapers tapered "))
        return ENTRY_TAPER;
    return trade_has(tokens, count, " snip snips snipped ") ? ENTRY_SNIP : ENTRY_ANY;
}
