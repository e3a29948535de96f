/* word_list.h -- a written list as words, figures and what stands between them.
 *
 * Markdown's marks are taken off (escapes, stars, links' targets; a table keeps its cells). A sentence that was wrapped is
 * one row; every token knows the line of the file it stands in. Words are letters and digits in small letters (ASCII), so
 * that `long_strip`, `Long strip` and `long-strip` are the same two words. */
#ifndef TOOLS_PROOF_WORD_LIST_H
#define TOOLS_PROOF_WORD_LIST_H

#include "nearmark/length.h"

enum token_kind { TOKEN_WORD, TOKEN_FIGURE, TOKEN_TIMES, TOKEN_SIGN };

struct token {
    enum token_kind kind;
    size_t line;      /* from 1 */
    size_t cell;      /* of a table's row, from 0 */
    char *text;       /* a word; a figure as it is written; of a SIGN and TIMES NULL */
    char sign;        /* , ; . : ( ) | / = + - or '~' plus-minus, '_' an ellipsis, '?' any other */
    struct nmk_rat mm; /* FIGURE: as nmk_length_read.mm */
    enum nmk_unit unit;
    bool in_words;    /* FIGURE: `two` */
    bool foreign;     /* FIGURE: of something else than a length or a count, `250 gsm` */
    bool unreadable;  /* FIGURE: `1,125` */
    bool known;       /* part of a text of the design: no figure of the list (set by the reader) */
};

struct row {
    size_t first, count; /* tokens */
    int level;           /* of a Markdown heading, 0: none */
    bool table, ruler;   /* a table's row; its line of dashes */
    bool item;           /* begins with the mark of a list */
    bool numbered;       /* begins with the number of a step, "3." */
    bool blank_before;
};

struct word_list {
    struct token *tokens;
    size_t token_count;
    struct row *rows;
    size_t row_count;
};

void word_list_read(struct word_list *out, const char *text, size_t size);
void word_list_clear(struct word_list *list);
/* Is the token this word? */
bool token_is(const struct token *t, const char *word);
/* Is it one of these, with a space on each side of each: " cut cuts "? */
bool token_among(const struct token *t, const char *words);

#endif
