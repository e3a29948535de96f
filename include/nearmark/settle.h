/* settle.h -- the marks of the whole design, chosen together so that it provably still fits. */
#ifndef NEARMARK_SETTLE_H
#define NEARMARK_SETTLE_H

#include "nearmark/fit.h"

enum nmk_prefer { NMK_CLOSEST, NMK_EASIEST };

/* A budget for programs: about ten seconds' work on a small computer. */
#define NMK_SETTLE_EFFORT UINT64_C(200000000)

struct nmk_settle_options {
    enum nmk_prefer prefer;
    int64_t within;        /* marks, >= 0; for EASIEST */
    struct nmk_rat sure;   /* 0 .. 1 */
    uint64_t most_steps;   /* of the search; 0: no limit */
    bool (*progress)(void *context, uint64_t steps); /* false: stop. May be NULL */
    void *context;
};
void nmk_settle_options_init(struct nmk_settle_options *options); /* closest, within 2, sure 999/1000, no limit */
void nmk_settle_options_clear(struct nmk_settle_options *options);

struct nmk_settled;

/* Settles a draft and judges every demand in all three columns. An edition `as designed` is judged at its nearest
 * marks. NMK_OK also where nothing meets all demands (nmk_settled_holds_together). The draft must outlive the result.
 * NMK_INVALID for options out of range; NMK_TOO_LARGE (with a diagnostic) for a demand on too many stretches at once;
 * NMK_BUDGET, NMK_STOPPED. */
enum nmk_status nmk_settle(struct nmk_settled **out, const struct nmk_draft *draft, const struct nmk_settle_options *options,
                           struct nmk_diagnostics *list);
void nmk_settled_free(struct nmk_settled *settled); /* NULL allowed */

const struct nmk_draft *nmk_settled_draft(const struct nmk_settled *settled);
const struct nmk_settle_options *nmk_settled_options(const struct nmk_settled *settled);
/* Are there marks that meet every demand? Always true of an edition `as designed`. Where false, the SETTLED column, the
 * marks and the choices do not exist (0, NULL). */
bool nmk_settled_holds_together(const struct nmk_settled *settled);
enum nmk_state nmk_settled_state(const struct nmk_settled *settled); /* the worst settled one */

int64_t nmk_settled_marks(const struct nmk_settled *settled, size_t length);  /* of a length that is no choice */
int64_t nmk_settled_choice(const struct nmk_settled *settled, size_t length); /* from 1 */
bool nmk_settled_unwatched(const struct nmk_settled *settled, size_t length); /* no demand says anything of it */
size_t nmk_settled_moved(const struct nmk_settled *settled);                  /* lengths not at a nearest mark */
const struct nmk_rat *nmk_settled_deviation(const struct nmk_settled *settled); /* mm */

/* The allowed clearance of a demand in this edition, NULL where open (borrowed). */
const struct nmk_rat *nmk_settled_low(const struct nmk_settled *settled, size_t demand);
const struct nmk_rat *nmk_settled_high(const struct nmk_settled *settled, size_t demand);
bool nmk_settled_enclosed(const struct nmk_settled *settled, size_t demand); /* pi or a root stands in it */
const struct nmk_view *nmk_settled_view(const struct nmk_settled *settled, size_t demand, enum nmk_column column);

/* The cut list: lines in marks from the first edge, of a piece with panels or a mat; `column` ROUNDED or SETTLED.
 * Line count - 1 is the cut size. Scores taken from the last edge are at (cut size - line). */
int64_t nmk_settled_line(const struct nmk_settled *settled, enum nmk_column column, size_t piece, enum nmk_way way,
                         size_t line);
/* The size of a punched piece or an opening in mm (borrowed), NULL where there is no settled choice. */
const struct nmk_rat *nmk_settled_punched(const struct nmk_settled *settled, size_t length, enum nmk_way way);

/* Where one clearance comes from: the contributions of its worst stretches in a column, largest `off` first. Owned by
 * the settled result. */
size_t nmk_settled_contribution_count(const struct nmk_settled *settled, size_t demand, enum nmk_column column);
const struct nmk_contribution *nmk_settled_contribution(const struct nmk_settled *settled, size_t demand,
                                                        enum nmk_column column, size_t i);

/* ---- what else could be ---- */

/* The same design and options, but with one length kept within low .. high marks (high < low: open above): why it is not
 * at its nearest mark. The result may not hold together; then its conflict says what stands in the way. NMK_INVALID for a
 * choice, and for low <= high < 1. */
enum nmk_status nmk_settle_held(struct nmk_settled **out, const struct nmk_settled *settled, size_t length, int64_t low,
                                int64_t high, struct nmk_diagnostics *list);
/* The next-best: the best marks in which this length is not where it is now. */
enum nmk_status nmk_settle_next(struct nmk_settled **out, const struct nmk_settled *settled, size_t length,
                                struct nmk_diagnostics *list);

/* ---- where nothing meets all demands ---- */

struct nmk_conflict_member {
    size_t demand;
    bool high;                /* which bound is in the way */
    bool can_change;          /* false: an `even` or `exactly`, which has no bound to change */
    struct nmk_rat change;    /* the smallest widening of that bound with which the set can be met, mm */
};
struct nmk_conflict;
/* A smallest set of demands that cannot be met together, and the coarsest finer marks that would serve. Only for a
 * result that does not hold together. */
enum nmk_status nmk_conflict_new(struct nmk_conflict **out, const struct nmk_settled *settled);
void nmk_conflict_free(struct nmk_conflict *conflict);
size_t nmk_conflict_count(const struct nmk_conflict *conflict);
const struct nmk_conflict_member *nmk_conflict_member(const struct nmk_conflict *conflict, size_t i);
const struct nmk_rat *nmk_conflict_finer(const struct nmk_conflict *conflict); /* step in mm; NULL: none helps */

#endif
