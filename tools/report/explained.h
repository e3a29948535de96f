/* explained.h -- what is explained of one edition: demands, lengths, and for each length that is not at a nearest mark what
 * the alternatives cost. */
#ifndef TOOLS_REPORT_EXPLAINED_H
#define TOOLS_REPORT_EXPLAINED_H

#include "nearmark/settle.h"

/* The design settled in another way. */
struct alternative {
    struct nmk_settled *settled;   /* NULL: there is none */
    struct nmk_conflict *conflict; /* where it cannot hold together */
};

struct explained_length {
    size_t length;
    bool moved;                 /* it is not at a nearest mark: then `held` */
    struct alternative held;    /* at its nearest mark */
    struct alternative next;    /* the best in which it is elsewhere */
};

struct explained {
    const struct nmk_settled *settled;
    enum nmk_column column;     /* SETTLED; ROUNDED where nothing meets every demand */
    size_t demand_count;
    size_t *demands;
    size_t length_count;
    struct explained_length *lengths;
};

/* demands, lengths: flags by index of the design: what is explained. Lengths that stand in these demands are added where
 * they are moved. *out: cleared by the caller, also after a status that is not OK. */
enum nmk_status explained_make(struct explained *out, const struct nmk_settled *settled, const bool *demands,
                               const bool *lengths, struct nmk_diagnostics *list);
void explained_clear(struct explained *e);

/* A demand that the alternative makes less sure. */
bool explained_is_weaker(const struct explained *e, const struct alternative *other, size_t demand);

#endif
