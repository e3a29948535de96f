/* rules.h -- the rule card: a design's own formulas, restated in an edition's marks for everybody's own size.
 *
 * (1) Each measure with a range is read as a whole number of marks (of score marks, where the edition has `scores`): to
 *     the nearest, rounded up or rounded down. The true size is the reading plus an error of [-1/2, 1/2], [-1, 0] or
 *     [0, 1] reading steps, which takes the place of the measure's own +-. The other measures stay as the file has them.
 * (2) Each length is sum times_m reading_m + plus marks. Multiples that are not whole are fractions; then the sum is
 *     rounded once, and that loss is one more error, shared by lengths with the same multiples.
 * (3) The constants, the ways of reading and rounding and the punches are settled together, each demand taken at the
 *     true sizes in the ranges where it is weakest: a statement over all sizes, since everything is affine. */
#ifndef NEARMARK_RULES_H
#define NEARMARK_RULES_H

#include "nearmark/settle.h"

enum nmk_reading { NMK_READ_NEAREST, NMK_READ_UP, NMK_READ_DOWN, NMK_READ_FIXED };
enum nmk_rounding { NMK_ROUND_EXACT, NMK_ROUND_DOWN, NMK_ROUND_UP, NMK_ROUND_NEAREST };

struct nmk_rule_measure {
    enum nmk_reading read;
    struct nmk_rat from, to;          /* the range, mm; FIXED: both its size */
    int64_t first, last; /* the readings, in steps, whose whole interval lies in the range; none: first > last */
};

struct nmk_rule_term {
    size_t measure;
    struct nmk_rat times;
};

struct nmk_rule_length {
    bool chart_only;  /* its size cannot be put as multiples of measures */
    size_t term_count;
    struct nmk_rule_term *terms; /* by measure, no zero */
    enum nmk_rounding round;
    int64_t plus;     /* marks; may be negative */
    size_t choice;    /* of a choice, from 1; else 0 */
};

struct nmk_rule_size { /* a size of one measure */
    size_t measure;
    struct nmk_rat mm;
};

struct nmk_rule_demand {
    bool chart_only;         /* it says something of a length that is by the chart only: no figures */
    bool met;                /* for all sizes in the ranges, as marked */
    struct nmk_view view;    /* least and most over all sizes, the lowest nominal, the smallest chance, the worst state */
    size_t size_count;       /* measures that matter to it */
    struct nmk_rule_size *weakest, *fails; /* sizes at which the chance is smallest; at which it fails (only if not met) */
    struct nmk_change_of_bound {
        bool helps, high;
        struct nmk_rat amount; /* mm */
    } widen;                 /* not met: the smallest widening of a bound with which it could be met beside the rest */
};

struct nmk_outgrow { /* from this size of one measure on, the others as in the file, a piece is too large */
    size_t piece;
    enum nmk_way way;
    bool reach; /* for the reach; else for the sheet */
    size_t measure; /* that direction depends on it; NMK_NONE: it depends on none, and is too large at every size */
    struct nmk_rat from;
};

/* What a demand comes to at one own size, where the readings, and with them all lengths, are known: its clearance is
 * constant + sum times length (in marks) + sum times measure (its true size in mm, of measures that are read; it lies within
 * the reading's interval, uniform) + independent errors, each uniform on +- its width in mm. A panel may stand in several
 * stretches, which differ in their errors alone: of the cases the one with the smallest chance counts. */
struct nmk_own_term {
    size_t index; /* of a length; of a measure */
    struct nmk_rat times;
};
struct nmk_own_case {
    size_t count;
    struct nmk_rat *widths; /* > 0, rising */
};
struct nmk_own_clearance {
    struct nmk_rat constant;
    size_t length_count, measure_count, case_count;
    struct nmk_own_term *lengths, *measures;
    struct nmk_own_case *cases; /* at least 1; of an exact demand one without widths: it is judged at nominal */
};
void nmk_own_clearance_clear(struct nmk_own_clearance *clearance); /* a zeroed one may be cleared */

struct nmk_rules;

/* The draft must outlive the rules. NMK_INVALID with a diagnostic where no constants keep every length at least one mark
 * long; else as nmk_settle. */
enum nmk_status nmk_rules_new(struct nmk_rules **out, const struct nmk_draft *draft, const struct nmk_settle_options *options,
                              struct nmk_diagnostics *list);
void nmk_rules_free(struct nmk_rules *rules); /* NULL allowed */

const struct nmk_draft *nmk_rules_draft(const struct nmk_rules *rules);
const struct nmk_settle_options *nmk_rules_options(const struct nmk_rules *rules);
const struct nmk_rat *nmk_rules_reading_step(const struct nmk_rules *rules); /* mm */
/* By the index of the design; borrowed. */
const struct nmk_rule_measure *nmk_rules_measure(const struct nmk_rules *rules, size_t measure);
const struct nmk_rule_length *nmk_rules_length(const struct nmk_rules *rules, size_t length);
const struct nmk_rule_demand *nmk_rules_demand(const struct nmk_rules *rules, size_t demand);
const struct nmk_rat *nmk_rules_low(const struct nmk_rules *rules, size_t demand);  /* bounds; NULL: open */
const struct nmk_rat *nmk_rules_high(const struct nmk_rules *rules, size_t demand);
/* false, and *out untouched: it is by the chart only. Else *out is the caller's (nmk_own_clearance_clear). An enclosed constant
 * stands in it as its midpoint, without its error of 10^-30. */
bool nmk_rules_own_clearance(struct nmk_own_clearance *out, const struct nmk_rules *rules, size_t demand);
size_t nmk_rules_outgrow_count(const struct nmk_rules *rules);
const struct nmk_outgrow *nmk_rules_outgrow(const struct nmk_rules *rules, size_t i);

#endif
