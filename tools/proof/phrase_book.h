/* phrase_book.h -- the texts of a design that a written list may use: labels, names, the title, what it says. Their words are
 * found in a row however they are joined and whatever their case; a figure in them is no figure of the list. */
#ifndef TOOLS_PROOF_PHRASE_BOOK_H
#define TOOLS_PROOF_PHRASE_BOOK_H

#include "nearmark/design.h"
#include "proof/word_list.h"

enum phrase_kind { PHRASE_PIECE, PHRASE_OPENING, PHRASE_MEASURE, PHRASE_OTHER };

struct phrase {
    enum phrase_kind kind;
    size_t subject;   /* as in list_entry.h; NMK_NONE of OTHER */
    bool is_name;     /* a short name, which can be an ordinary word: it counts at the beginning of a row only */
    size_t order;
    struct word_list words;
};

struct phrase_book {
    struct phrase *phrases; /* by their first word */
    size_t count;
};

void phrase_book_init(struct phrase_book *out, const struct nmk_design *design);
void phrase_book_clear(struct phrase_book *book);

/* The longest phrases that stand at tokens[0..count): the first of them, how many more of the same words follow it in the
 * book (several pieces of one label), and how many tokens they take. false: none. */
struct phrase_found {
    size_t first, count, tokens;
};
bool phrase_book_find(struct phrase_found *out, const struct phrase_book *book, const struct token *tokens, size_t count);

#endif
