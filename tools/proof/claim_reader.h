/* claim_reader.h -- the list as it is read, row by row: what the lines above say, and the row at hand. */
#ifndef TOOLS_PROOF_CLAIM_READER_H
#define TOOLS_PROOF_CLAIM_READER_H

#include "proof/claim.h"
#include "proof/trade_word.h"

struct span { /* tokens */
    size_t first, end;
};

/* Figures that stand together, "3 1/8, 4 5/16 in", and the words about them. */
struct group {
    struct span figures, before, after;
    size_t row; /* of the piece's lists; NMK_NONE: not said */
    bool pair;
    bool beside; /* the last group in another unit */
};

struct reader {
    struct claims *out;
    const struct nmk_design *design;
    const enum nmk_unit *units;
    struct phrase_book book;
    struct word_list names; /* of the editions: a row each */
    struct token *tokens;
    size_t asked;
    /* what the lines above say */
    size_t edition, subject, block;
    bool skipping;          /* another edition than the one asked for */
    int level;              /* of the heading that named the subject */
    bool other_things;      /* this passage is about demands, sheets, settings or rules, not about the list */
    enum entry_kind kind;
    int way;
    size_t rows;            /* "only beside front": the row that the lines below are of; NMK_NONE: not said */
    enum nmk_unit usual, last_unit;
    size_t *mentions;       /* of each subject, in this edition */
    size_t header_row;      /* of the table that is being read, or NMK_NONE */
    /* this row */
    const struct row *row;
    struct span all;
    size_t topic;           /* a measure or an opening that this row alone is about; else the subject */
    bool named_here;        /* the subject is named in this row */
    bool rows_of_table;     /* `rows` goes as far as the table */
    bool says_row;          /* it says which row the lines below are of */
    size_t begin;           /* behind the name of the subject */
    struct group *groups;
    size_t group_count;
};

/* What the words say of one group. */
struct sense {
    enum entry_kind kind;
    int way;
    enum trade_edge edge;
    bool firm;
};

static inline const struct token *token_at(const struct reader *r, size_t i)
{
    static const struct token none = {.kind = TOKEN_SIGN, .sign = 'e'};
    return i >= r->all.first && i < r->all.end ? &r->tokens[i] : &none;
}

static inline bool is_sign(const struct token *t, char sign)
{
    return t->kind == TOKEN_SIGN && t->sign == sign;
}

static inline size_t piece_count(const struct reader *r)
{
    return nmk_design_piece_count(r->design);
}

static inline bool is_piece(const struct reader *r, size_t subject)
{
    return subject < piece_count(r);
}

static inline bool is_figure(const struct token *t)
{
    return t->kind == TOKEN_FIGURE && !t->known && !t->foreign;
}

/* ---- what the row and those above are about (claim_topic.c) ---- */

void reader_note_edition(struct reader *r);
void reader_note_phrases(struct reader *r); /* the subject, and what else is called by its name */
/* "beside flap and back" at this token: the row of the piece's lists, NMK_NONE where that is not one; its end, `at` where it is
 * not said. */
size_t reader_beside(size_t *row, const struct reader *r, size_t at);
void reader_note_beside(struct reader *r);
void reader_leave_subject(struct reader *r);
void reader_note_kind(struct reader *r); /* a row without figures: what the next rows are about */
bool reader_has_figures(const struct reader *r);

/* ---- what is not of the list (claim_passage.c) ---- */

/* At the first row of a passage, which goes on to the next blank line or heading. */
void reader_note_passage(struct reader *r, size_t row);

/* ---- figures that stand together, and the words about them (claim_group.c) ---- */

/* Of a table with several figures in a row: the words above its column, else of its own cell. */
bool reader_column_words(struct span *out, const struct reader *r, size_t at);
void reader_find_groups(struct reader *r);
void reader_find_words(struct reader *r);
bool reader_has_stop(const struct reader *r, size_t from, size_t to);
const struct nmk_piece *reader_piece(const struct reader *r); /* NULL: the subject is none */
/* last: the sense of the group before. */
struct sense reader_sense_of(const struct reader *r, const struct group *g, const struct sense *last, bool same_sentence);

#endif
