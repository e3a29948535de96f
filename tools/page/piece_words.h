/* piece_words.h -- a piece's cut list in words, for every kind of text that is published.
 *
 * Figures are those of the diagrams: a fraction has U+2044 in it (escape_typed writes it as it is typed). */
#ifndef TOOLS_PAGE_PIECE_WORDS_H
#define TOOLS_PAGE_PIECE_WORDS_H

#include "page/publication.h"

struct cut_row {
    enum nmk_way way;
    bool cut;           /* the whole size; else a score, or a cut within the piece: */
    bool knife;
    bool last;          /* taken from the last edge */
    const char *beside; /* " beside flap and back", borrowed; NULL: everything */
    const char *figure; /* borrowed from the gallery; without its unit */
    int64_t marks;
    const char *what;   /* "cut", "score from the left edge", "cut from the left edge" */
    char *hint;         /* how to find the mark; may be NULL */
    char *parts;        /* "from the left edge to 15 mm": a score is cut there, or a cut is one only there; may be NULL */
};

struct piece_remark {
    char *text;
    const struct nmk_say *say; /* the design's own words, borrowed; NULL: a note */
    bool lasting;              /* holds for every size */
};

struct piece_words {
    bool punched;
    char *task;              /* "Cut 2 from plain card (A4 or Letter)" */
    struct cut_row *rows;    /* none of a punched piece */
    size_t row_count;
    char *size;              /* "63 mm × 38 mm" */
    struct piece_remark *remarks; /* what else is to be known, in the order of work */
    size_t remark_count, above_count; /* so many of them stand above the cuts and scores */
};

void piece_words_init(struct piece_words *words, const struct published *p, size_t piece);
void piece_words_clear(struct piece_words *words);
/* What stands before its parts: "cut through ", of a cut "only "; "" where it has none. */
const char *piece_row_parts(const struct cut_row *row);
/* Does a row stand beside other panels than the one before it? */
bool piece_row_turns(const struct piece_words *words, size_t row);
/* "left", "right", "upper", "lower" */
const char *piece_edge(enum nmk_way way, bool last);

/* The sheets that a piece may be cut from in an edition. At most two; how many. */
size_t piece_sheets(const struct nmk_sheet **out, const struct nmk_draft *draft, const struct nmk_piece *piece);
/* "A4", "12 in x 12 in" */
void piece_sheet_name(struct sink *out, const struct nmk_sheet *sheet);
/* What to buy, "2 × plain card, A4; 1 × printed paper, 12x12". false: it is not known, and nothing is written. */
bool published_sheets(struct sink *out, const struct published *p);

#endif
