/* cue_words.h -- the words of which cues are made: lengths and pieces, as they are shown and as they are spoken. */
#ifndef TOOLS_REPORT_PLAN_CUE_WORDS_H
#define TOOLS_REPORT_PLAN_CUE_WORDS_H

#include "ground/sink.h"
#include "nearmark/plan.h"

struct cue_list;

struct cue_teller {
    const struct nmk_plan *plan;
    const struct nmk_settled *settled;
    const struct nmk_design *design;
    struct cue_list *list;
    bool both; /* in both units */
};

/* What stands in the sink, made plain, and the sink empty again; the caller's (store_free). */
__attribute__((returns_nonnull)) char *cue_taken(struct sink *s);
void cue_add_owned(struct sink *s, char *text); /* and frees the text */

enum nmk_unit cue_other_unit(enum nmk_unit unit);
/* In the other unit as one would read it there: to the nearest half millimetre or 1/32 in. */
bool cue_to_other(struct nmk_rat *out, const struct nmk_rat *mm, enum nmk_unit other);
/* A length in a sentence: its figure, or in words; in both units where that was asked. */
void cue_add_length(const struct cue_teller *t, struct sink *s, const struct nmk_rat *mm, bool spoken);
void cue_add_marks(const struct cue_teller *t, struct sink *s, int64_t marks, bool spoken);

const struct nmk_piece *cue_piece(const struct cue_teller *t, const struct nmk_plan_step *step);
/* "Tray, each of 20"; the caller's. */
__attribute__((returns_nonnull)) char *cue_piece_name(const struct cue_teller *t, const struct nmk_plan_step *step);
/* A piece as it is said, `long_strip` in two words, and how many. */
void cue_say_label(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step);
/* The work before step i, what the design itself says aside; NULL: there is none. */
const struct nmk_plan_step *cue_work_before(const struct cue_teller *t, size_t i);

#endif
