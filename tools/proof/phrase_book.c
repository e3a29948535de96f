#include "proof/phrase_book.h"

#include <stdlib.h>
#include <string.h>

#include "ground/store.h"

enum { LONG_WORD = 20 };

/* Figures are the same if they have one value, however they are written: they all stand at one place in the book. */
static const char *word_of(const struct token *t)
{
    return t->kind == TOKEN_FIGURE ? "0" : t->text ? t->text : "";
}

static int compare_tokens(const struct token *a, const struct token *b)
{
    int by = strcmp(word_of(a), word_of(b));
    if (by || a->kind != TOKEN_FIGURE || b->kind != TOKEN_FIGURE)
        return by;
    return nmk_rat_cmp(&a->mm, &b->mm);
}

static int compare(const void *a, const void *b)
{
    const struct phrase *p = a, *q = b;
    size_t count = p->words.token_count < q->words.token_count ? p->words.token_count : q->words.token_count;
    for (size_t i = 0; i < count; i++) {
        int by = compare_tokens(&p->words.tokens[i], &q->words.tokens[i]);
        if (by)
            return by;
    }
    if (p->words.token_count != q->words.token_count)
        return p->words.token_count < q->words.token_count ? -1 : 1;
    return p->order < q->order ? -1 : p->order > q->order;
}

/* Signs say nothing in a phrase. */
static void drop_signs(struct word_list *words)
{
    size_t kept = 0;
    for (size_t i = 0; i < words->token_count; i++)
        if (words->tokens[i].kind != TOKEN_SIGN)
            words->tokens[kept++] = words->tokens[i];
    words->token_count = kept;
}

static void add(struct phrase_book *book, enum phrase_kind kind, size_t subject, bool is_name, const char *text)
{
    struct phrase p = {.kind = kind, .subject = subject, .is_name = is_name, .order = book->count};
    if (!text)
        return;
    word_list_read(&p.words, text, strlen(text));
    drop_signs(&p.words);
    if (!p.words.token_count) {
        word_list_clear(&p.words);
        return;
    }
    if ((book->count & (book->count - 1)) == 0)
        book->phrases = store_resize(book->phrases, (book->count ? book->count * 2 : 1) * sizeof *book->phrases);
    book->phrases[book->count++] = p;
}

static void add_piece(struct phrase_book *book, const struct nmk_piece *piece, size_t subject)
{
    add(book, PHRASE_PIECE, subject, false, piece->label);
    if (strcmp(piece->name, piece->label) != 0)
        add(book, PHRASE_PIECE, subject, true, piece->name);
    for (size_t i = 0; i < piece->say_count; i++)
        add(book, PHRASE_OTHER, NMK_NONE, false, piece->says[i].text);
}

void phrase_book_init(struct phrase_book *out, const struct nmk_design *design)
{
    struct phrase_book book = {0};
    size_t pieces = nmk_design_piece_count(design), openings = nmk_design_opening_count(design);
    add(&book, PHRASE_OTHER, NMK_NONE, false, nmk_design_title(design));
    for (size_t i = 0; i < nmk_design_stock_count(design); i++)
        add(&book, PHRASE_OTHER, NMK_NONE, false, nmk_design_stock(design, i)->label);
    for (size_t i = 0; i < pieces; i++)
        add_piece(&book, nmk_design_piece(design, i), i);
    for (size_t i = 0; i < openings; i++)
        add(&book, PHRASE_OPENING, pieces + i, true, nmk_design_opening(design, i)->name);
    for (size_t i = 0; i < nmk_design_measure_count(design); i++) {
        const struct nmk_measure *measure = nmk_design_measure(design, i);
        add(&book, PHRASE_MEASURE, pieces + openings + i, !strcmp(measure->label, measure->name), measure->label);
    }
    if (book.count)
        qsort(book.phrases, book.count, sizeof *book.phrases, compare);
    *out = book;
}

void phrase_book_clear(struct phrase_book *book)
{
    for (size_t i = 0; i < book->count; i++)
        word_list_clear(&book->phrases[i].words);
    store_free(book->phrases);
    *book = (struct phrase_book){0};
}

/* ---- finding ---- */

/* The last word may stand in the plural. */
static bool is_same(const struct token *said, const struct token *known, bool last)
{
    size_t size = strlen(word_of(known));
    if (said->kind == TOKEN_FIGURE && known->kind == TOKEN_FIGURE)
        return compare_tokens(said, known) == 0;
    if (said->kind != known->kind || strncmp(word_of(said), word_of(known), size) != 0)
        return false;
    const char *rest = word_of(said) + size;
    return !*rest || (last && said->kind == TOKEN_WORD && !strcmp(rest, "s"));
}

/* A long label that was cut short: "... second ver…". */
static bool is_cut_short(const struct token *said, size_t count, const struct token *known)
{
    if (count && said->kind == TOKEN_SIGN && said->sign == '_')
        return true;
    return count > 1 && said[1].kind == TOKEN_SIGN && said[1].sign == '_' && said->kind == known->kind &&
           !strncmp(word_of(said), word_of(known), strlen(word_of(said)));
}

/* How many tokens the phrase takes there; 0: it does not stand there. */
static size_t taken(const struct phrase *p, const struct token *tokens, size_t count)
{
    size_t at = 0;
    for (size_t i = 0; i < p->words.token_count; i++, at++) {
        while (i && at < count && tokens[at].kind == TOKEN_SIGN && tokens[at].sign != '|' && tokens[at].sign != '_')
            at++;
        if (at < count && is_cut_short(&tokens[at], count - at, &p->words.tokens[i]) &&
            (i || strlen(word_of(&tokens[0])) > LONG_WORD))
            return at + (tokens[at].kind == TOKEN_SIGN ? 1 : 2);
        if (at >= count || !is_same(&tokens[at], &p->words.tokens[i], i + 1 == p->words.token_count))
            return 0;
    }
    return at;
}

/* The first phrase whose first word is not before `word`. */
static size_t lower(const struct phrase_book *book, const char *word)
{
    size_t low = 0, high = book->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(word_of(&book->phrases[middle].words.tokens[0]), word) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool have_same_words(const struct phrase *a, const struct phrase *b)
{
    if (a->words.token_count != b->words.token_count)
        return false;
    for (size_t i = 0; i < a->words.token_count; i++)
        if (compare_tokens(&a->words.tokens[i], &b->words.tokens[i]) != 0)
            return false;
    return true;
}

/* Cut short, they may go on in other ways: "... second ver..." */
static bool may_be_both(const struct phrase *a, const struct phrase *b, const struct token *last)
{
    return (last->kind == TOKEN_SIGN && last->sign == '_') || have_same_words(a, b);
}

static void look(struct phrase_found *found, const struct phrase_book *book, const char *word, const struct token *tokens,
                 size_t count)
{
    for (size_t i = lower(book, word); i < book->count && !strcmp(word_of(&book->phrases[i].words.tokens[0]), word); i++) {
        size_t here = taken(&book->phrases[i], tokens, count);
        if (here > found->tokens)
            *found = (struct phrase_found){.first = i, .count = 1, .tokens = here};
        else if (here && here == found->tokens && i == found->first + found->count &&
                 may_be_both(&book->phrases[i], &book->phrases[found->first], &tokens[here - 1]))
            found->count++;
    }
}

bool phrase_book_find(struct phrase_found *out, const struct phrase_book *book, const struct token *tokens, size_t count)
{
    struct phrase_found found = {0};
    const char *word = word_of(&tokens[0]);
    size_t size = strlen(word);
    if (tokens[0].kind == TOKEN_SIGN || tokens[0].kind == TOKEN_TIMES)
        return false;
    look(&found, book, word, tokens, count);
    if (!found.tokens && size > 1 && word[size - 1] == 's') {
        char *single = store_copy(word, size - 1);
        look(&found, book, single, tokens, count);
        store_free(single);
    }
    if (found.tokens)
        *out = found;
    return found.tokens > 0;
}
