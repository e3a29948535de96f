/* list_entry.h -- what an edition's list says, figure by figure: what a written list is held against.
 *
 * A subject is a piece, or behind the pieces an opening, or behind these a measure; NMK_NONE: the edition itself. Where no
 * marks meet every demand, the figures are those of every number rounded by itself, as `cuts` shows them. */
#ifndef TOOLS_PROOF_LIST_ENTRY_H
#define TOOLS_PROOF_LIST_ENTRY_H

#include "ground/sink.h"
#include "nearmark/plan.h"
#include "nearmark/settle.h"

enum entry_kind {
    ENTRY_CUT, ENTRY_SCORE, ENTRY_KNIFE, ENTRY_PUNCH, ENTRY_COPIES, /* the list itself; KNIFE: cut within the piece */
    /* What may be said beside it; REST: cut away; END: where along it a line is cut. */
    ENTRY_GLUE, ENTRY_REST, ENTRY_SNIP, ENTRY_TAPER, ENTRY_END,
    ENTRY_PANEL, ENTRY_SHEET, ENTRY_MEASURE, ENTRY_MARKS, ENTRY_SCORE_MARKS, ENTRY_TRUE, ENTRY_OFF,
    ENTRY_HINT, ENTRY_ANY                              /* of a figure in a text only */
};

struct entry {
    enum entry_kind kind;
    size_t subject;
    enum nmk_way way;       /* END: from the first edge of this one */
    bool last;              /* SCORE, KNIFE, GLUE, REST, SNIP: from or at the last edge */
    size_t row;             /* of a list of several rows, those and PANEL: its row; else NMK_NONE */
    size_t part;            /* PANEL: the panel */
    struct nmk_rat mm;      /* COPIES: how many */
    struct nmk_rat other;   /* SCORE, KNIFE: from the other edge */
    struct nmk_rat rounded; /* rounded by itself */
    bool wanted;            /* not so a KNIFE that is part of a score. Missing, if it stands nowhere in the text */
};

struct entry_list {
    const struct nmk_settled *settled;
    const struct nmk_design *design;
    struct entry *entries;
    size_t count;
    struct nmk_rat step;
    enum nmk_unit unit;
};

void entry_list_init(struct entry_list *out, const struct nmk_settled *settled);
void entry_list_clear(struct entry_list *list);

/* SCORE or KNIFE: a line, told from an edge. */
bool entry_is_line(enum entry_kind kind);
const char *entry_edition(const struct entry_list *list); /* its name */
const char *entry_subject(const struct nmk_design *design, size_t subject); /* label or name; "" for NMK_NONE */
/* "cut across", "score from the left edge", "how many" */
void entry_what(struct sink *out, const struct nmk_design *design, const struct entry *e);
/* Its figure, "4 7/16 in"; the caller's (store_free). */
__attribute__((returns_nonnull)) char *entry_figure(const struct entry_list *list, const struct entry *e);
const char *entry_kind_name(enum entry_kind kind); /* "cut", "score" ...; static */

#endif
