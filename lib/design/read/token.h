/* token.h -- the words, figures and signs of one line. */
#ifndef LIB_DESIGN_READ_TOKEN_H
#define LIB_DESIGN_READ_TOKEN_H

#include "nearmark/length.h"

enum nmk_token_kind {
    NMK_T_END,    /* of the line, or a comment */
    NMK_T_WORD,   /* a name or a word of a statement */
    NMK_T_PAIR,   /* piece.panel */
    NMK_T_NUMBER, /* value */
    NMK_T_LENGTH, /* value, unit */
    NMK_T_TEXT,   /* "..."; inner: what stands between the quotes */
    NMK_T_PLUS,
    NMK_T_MINUS,
    NMK_T_TIMES,
    NMK_T_DIVIDE,
    NMK_T_OPEN,
    NMK_T_CLOSE,
    NMK_T_COMMA,
    NMK_T_EQUALS,
    NMK_T_BAR,
    NMK_T_BARS,
    NMK_T_OFF,   /* ± +- +/- */
    NMK_T_CROSS, /* × */
    NMK_T_BAD    /* has been complained of */
};

struct nmk_token {
    enum nmk_token_kind kind;
    size_t at, size;             /* bytes of the text */
    size_t dot;                  /* PAIR: where the dot is */
    size_t inner_at, inner_size; /* TEXT */
    struct nmk_rat value;        /* NUMBER, LENGTH (mm); the reader's pool owns it */
    enum nmk_unit unit;          /* LENGTH */
    bool space_before, space_after;
};

#endif
