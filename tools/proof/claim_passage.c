#include "proof/claim_reader.h"

#include <string.h>

/* Do these words stand there one after the other? Signs between them say nothing. */
static bool has_words_at(const struct reader *r, size_t at, size_t end, const char *words)
{
    while (*words) {
        while (at < end && r->tokens[at].kind == TOKEN_SIGN)
            at++;
        const char *space = strchr(words, ' ');
        size_t size = space ? (size_t)(space - words) : strlen(words);
        if (at == end || r->tokens[at].kind != TOKEN_WORD || strlen(r->tokens[at].text) != size ||
            memcmp(r->tokens[at].text, words, size) != 0)
            return false;
        words += space ? size + 1 : size;
        at++;
    }
    return true;
}

static bool has_words(const struct reader *r, const struct span *all, const char *words)
{
    for (size_t at = all->first; at < all->end; at++)
        if (has_words_at(r, at, all->end, words))
            return true;
    return false;
}

/* "As drawn: 13 hold, 4 at risk": counts of demands. */
static bool is_count_of_demands(const struct reader *r, const struct span *all)
{
    size_t at = all->first;
    if (!has_words_at(r, at, all->end, "as drawn"))
        return false;
    while (at < all->end && r->tokens[at].kind != TOKEN_FIGURE)
        at++;
    return at + 1 < all->end && token_among(&r->tokens[at + 1], " hold holds at uneven too ");
}

/* "1 = Tray, 84 mm x 104 mm", below the map of a sheet. */
static bool is_map(const struct reader *r, size_t from, size_t to)
{
    const struct row *rows = r->out->words.rows;
    const struct token *first = &r->tokens[rows[from].first];
    if (!rows[from].count || !token_among(first, " sheet sheets ") || rows[from].count < 2 || first[1].kind != TOKEN_FIGURE)
        return false;
    for (size_t i = from + 1; i < to; i++)
        for (size_t at = rows[i].first; at < rows[i].first + rows[i].count && at < rows[i].first + 4; at++)
            if (is_sign(&r->tokens[at], '='))
                return true;
    return false;
}

/* What says that a passage is about other things than the list: its first words, or words anywhere in it. */
static const char *const heads[] = {"to buy", "measure your own", "then make",
                                    "the pieces from edge to edge", "for every", "for the sizes as they are", "the weakest", "not met for all these sizes",
                                    "too large for the sheet or reach"};
static const char *const phrases[] = {"cannot be met together", "cannot be met even alone",      "finer marks would serve",
                                      "not on the trimmer",     "is larger than every sheet of", "as it is"};

/* "Making up" above the steps of a cue sheet. */
static bool is_cue(const struct reader *r, size_t from, size_t to)
{
    const struct row *rows = r->out->words.rows;
    size_t end = rows[from].first + rows[from].count;
    return from + 1 < to && rows[from + 1].numbered &&
           (has_words_at(r, rows[from].first, end, "making up") ||
            has_words_at(r, rows[from].first, end, "punches and mitres"));
}

static bool is_of_other_things(const struct reader *r, size_t from, size_t to)
{
    const struct row *rows = r->out->words.rows;
    struct span all = {rows[from].first, rows[to - 1].first + rows[to - 1].count};
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        if (has_words_at(r, all.first, all.end, heads[i]))
            return true;
    for (size_t i = 0; i < sizeof phrases / sizeof *phrases; i++)
        if (has_words(r, &all, phrases[i]))
            return true;
    return (has_words(r, &all, "at the mark") && has_words(r, &all, "to the fence")) || is_count_of_demands(r, &all) ||
           is_map(r, from, to) || is_cue(r, from, to);
}

void reader_note_passage(struct reader *r, size_t row)
{
    const struct word_list *words = &r->out->words;
    size_t to = row + 1;
    if (row && !words->rows[row].blank_before && !words->rows[row - 1].level)
        return;
    while (to < words->row_count && !words->rows[to].blank_before && !words->rows[to].level)
        to++;
    r->other_things = is_of_other_things(r, row, to);
}
