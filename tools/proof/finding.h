/* finding.h -- a written list held against the settled lists: what is right, what is wrong and why, what is missing. */
#ifndef TOOLS_PROOF_FINDING_H
#define TOOLS_PROOF_FINDING_H

#include "proof/claim.h"

enum verdict {
    VERDICT_RIGHT,
    VERDICT_WRONG,   /* `entry` belongs there, or one of several */
    VERDICT_FOREIGN, /* nothing in the design is so */
    VERDICT_UNSURE,  /* what it is about is not said */
    VERDICT_ELSEWHERE /* of an edition that was not asked for */
};

enum reason {
    REASON_NONE,
    REASON_UNREADABLE,
    REASON_UNIT,
    REASON_DIGITS,
    REASON_OTHER_EDITION,
    REASON_ROUNDED,
    REASON_OTHER_EDGE,
    REASON_OTHER_PLACE,
    REASON_DIFFERENCE,
    REASON_SUM,
    REASON_MARKS,
    REASON_OFF_MARK
};

struct finding { /* of one claim */
    enum verdict verdict;
    size_t edition;     /* of the proof; NMK_NONE: none could be told */
    size_t entry;       /* RIGHT, WRONG: of that edition's list; NMK_NONE where it could be one of several */
    enum reason reason; /* WRONG, FOREIGN */
    int64_t marks;      /* MARKS: so many marks more than it should be */
    size_t other;       /* OTHER_EDITION: of the proof; OTHER_PLACE: an entry */
};

struct proof_edition {
    struct entry_list list;
    size_t index;       /* of the design */
    bool spoken_of;     /* the text has figures of its list */
    bool by_fit;        /* the text does not name it: of several it is the one that fits best */
    bool *stands;       /* by entry */
    size_t right, wrong, missing;
};

struct proof {
    struct claims claims;
    struct finding *findings; /* by claim */
    struct proof_edition *editions;
    size_t count;
    size_t wrong, unsure;     /* figures of no edition are counted here too */
};

/* The settled results must outlive it; `editions`: the index of each in the design. `asked`: only one was asked for. */
void proof_init(struct proof *out, const struct nmk_settled *const *settled, const size_t *editions, size_t count, bool asked,
                const char *text, size_t size);
void proof_clear(struct proof *proof);
bool proof_is_missing(const struct proof *proof, size_t edition, size_t entry);
/* Is it a figure of its own that is to be shown? (One that is repeated for another edge is not, if the first was wrong.) */
bool proof_is_shown(const struct proof *proof, size_t claim);

/* why.c: what may have led to a wrong figure; *f has its edition and entry. */
void finding_explain(struct finding *f, const struct proof *proof, const struct claim *c);

#endif
