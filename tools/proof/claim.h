/* claim.h -- what a written list claims: each figure, and what the words near it and the lines above say it is about.
 *
 * Nothing is guessed here: what the text does not say stays open (a way or edge of -1, ENTRY_ANY, no edition). */
#ifndef TOOLS_PROOF_CLAIM_H
#define TOOLS_PROOF_CLAIM_H

#include "proof/list_entry.h"
#include "proof/phrase_book.h"

enum claim_unit { CLAIM_METRIC, CLAIM_INCH, CLAIM_NO_UNIT };

struct claim {
    size_t line;
    const char *written;   /* borrowed from the words */
    struct nmk_rat mm;     /* a count: the number */
    enum nmk_unit unit;    /* as written, or as the words near it have it */
    size_t edition;        /* of the design; NMK_NONE: the text names none */
    size_t subject, block; /* block: counts the mentions of subjects */
    enum entry_kind kind;
    int way, edge;         /* enum nmk_way; 0 first, 1 last; -1: open */
    size_t panel;          /* of the subject, named near it; or NMK_NONE */
    size_t row;            /* of the subject's lists, "beside front"; or NMK_NONE */
    bool again;            /* the same figure as the claim before, about another edge ("from both edges") */
    bool beside;           /* another unit's figure beside one: "84 mm (3 5/16 in)" */
    bool firm;             /* trade words near it say that it is of the list */
    bool unreadable;
    size_t hint_of;        /* HINT: the claim whose mark it helps to find */
    int64_t hint_marks;    /* so many marks more */
};

struct claims {
    struct word_list words;
    struct claim *claims;
    size_t count;
    size_t passed_over;    /* figures that are about something else */
    bool scores_elsewhere, notes_elsewhere, pieces_elsewhere; /* the text says that they are on a page */
};

/* `units`: of each edition of the design, in which it is read. `asked`: the one asked for, or NMK_NONE. */
void claims_read(struct claims *out, const struct nmk_design *design, const enum nmk_unit *units, size_t asked,
                 const char *text, size_t size);
void claims_clear(struct claims *claims);
/* Does the figure say this length? As it is, or rounded to its digits: what lies on no short decimal is written so, 4.6667
 * in. */
bool claim_is(const struct claim *c, const struct nmk_rat *mm);
enum claim_unit claim_unit_of(enum nmk_unit unit);

#endif
