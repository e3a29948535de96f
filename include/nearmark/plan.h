/* plan.h -- from a settled design to sheets, cuts and scores: what to buy, and the steps a person follows.
 *
 * (1) Each stock is taken on the edition's sheet if it comes in it, else on its own sheets; one without `sheet` on the
 *     edition's. Sheets lie upright here: the shorter side across, the longer down; `grain long` runs down then, `grain
 *     short` across (of a square sheet too).
 * (2) A piece is cut at its settled marks. Where piece and stock both have a grain it lies so that the two agree;
 *     otherwise it may be turned. A piece that fits its sheets only across the grain is cut so, and that is told
 *     (against_grain). A punched piece is punched from a blank, a rectangle some 10 mm larger all round, which
 *     is cut like any other piece; a little less where that fits no sheet.
 * (3) The sheets are cut edge to edge (nearmark/cutting.h): the fewest sheets, then the fewest settings, then the largest
 *     single offcut, for each stock by itself.
 * (4) The steps are in the order of work: all cuts; punching; mitres; all scores; what is cut within a piece, with a knife
 *     (nearmark/runs.h: cut through, or cut away); snips; folding and glue; layers. A
 *     setting is used for everything, of every stock and every maker, that can be cut at it before the trimmer is moved, and
 *     the settings are in the order in which the fewest are needed: the proven fewest for sheets cut so where the effort
 *     allows (slices cut from one edge may change places).
 *     What a piece says (nmk_say) is said where it stands: before the trimmer is set for the first cut at which the piece
 *     comes off; before its first score, or after its last; before it is snipped or mitred; folded, before it is glued.
 *     Of what is not done to the piece it is said in the place of that work.
 * (5) What is in hand is a *part*: a sheet, a strip that is cut further, a piece, an offcut. A cut takes one kind of part
 *     and makes two of it. Its edges keep the names they have as the sheet lies on the map.
 *
 * Everything reached from a plan is owned by it, const, and lives until nmk_plan_free. Lengths are in millimetres. */
#ifndef NEARMARK_PLAN_H
#define NEARMARK_PLAN_H

#include "nearmark/settle.h"

struct nmk_plan_options {
    int64_t makers;  /* >= 1: so many make the whole design */
    uint64_t effort; /* of nmk_cutting_solve, for each stock; of the order of the cuts as much again; 0: its own */
    bool (*progress)(void *context, uint64_t steps); /* false: stop. May be NULL */
    void *context;
};

enum nmk_plan_kind { NMK_PLAN_SHEET, NMK_PLAN_STRIP, NMK_PLAN_PIECE, NMK_PLAN_OFFCUT };

struct nmk_plan_part {
    enum nmk_plan_kind kind;
    size_t sheet;           /* of which sheet (nmk_plan_sheet) */
    struct nmk_rat at[2];   /* where its upper left corner lies on the sheet, by way */
    struct nmk_rat size[2]; /* by way, as the sheet lies */
    int64_t count;          /* so many alike, one from each sheet cut like this */
    size_t number;          /* strips and offcuts: from 1, in the order in which they come into being; those that are cut on
                               at once, for another slice alike, last */
    size_t piece;           /* PIECE */
    bool turned;            /* PIECE: its across runs down the sheet */
};

struct nmk_plan_sheet { /* sheets that are cut alike */
    size_t stock;
    const struct nmk_sheet *sheet;
    struct nmk_rat size[2]; /* upright */
    size_t number;          /* of the first of them, from 1 through the whole plan */
    int64_t copies;
    size_t part;            /* the whole sheet; its parts follow */
    size_t part_count;      /* with the sheet itself */
};

struct nmk_plan_stock {
    size_t stock;
    int64_t sheets, bound;    /* so many are used; so many are needed at least */
    int64_t settings;         /* different distances at which it is cut */
    bool has_offcut;
    struct nmk_rat offcut[2]; /* the largest */
};

/* A piece as it is cut: its size, or that of the blank. */
struct nmk_plan_piece {
    bool blank;
    bool against_grain;     /* along the grain it fits no sheet */
    int64_t marks[2];       /* by the piece's own ways */
    struct nmk_rat size[2];
    int64_t count;          /* copies x makers */
};

enum nmk_plan_act {
    NMK_PLAN_CUT,     /* part, first, second, at, edge, fence */
    NMK_PLAN_PUNCH,   /* piece: from its blank */
    NMK_PLAN_OPENING, /* opening, piece: through that piece */
    NMK_PLAN_MITRE,   /* piece: both its ends */
    NMK_PLAN_SCORE,   /* piece, way, line, at, edge, fence */
    NMK_PLAN_SAY,     /* piece, say */
    NMK_PLAN_KNIFE,   /* piece, way, line, at, edge, fence: along those runs of the line that are cut */
    NMK_PLAN_SNIP,    /* piece */
    NMK_PLAN_FOLD,    /* piece: all its scores */
    NMK_PLAN_GLUE,    /* piece: its tabs, and the ends of its glue panels */
    NMK_PLAN_LAY      /* piece: a mat or ring onto what it lies on */
};

enum nmk_plan_edge { NMK_PLAN_LEFT, NMK_PLAN_UPPER, NMK_PLAN_RIGHT, NMK_PLAN_LOWER };

struct nmk_plan_step {
    enum nmk_plan_act act;
    size_t number;    /* from 1; steps of one number are done without moving the trimmer, or belong to one piece */
    int64_t count;    /* so many times: the parts or pieces that it is done to */
    struct nmk_rat at;    /* the setting */
    int64_t marks;        /* the same in marks; 0 where it is on none (a reach shorter than the piece, off an odd sheet) */
    bool beyond;          /* a score beyond the reach: from its edge as marked, or from either */
    enum nmk_plan_edge edge, fence; /* the edge that lies at the mark; the one that lies against the fence */
    size_t part, first, second;     /* first: what lies between the edge and the blade */
    size_t piece, line, opening, say;
    enum nmk_way way;
};

struct nmk_plan;

/* The default options: one maker, effort 0. */
void nmk_plan_options_init(struct nmk_plan_options *options);

/* Plans a settled design, which must outlive the plan. NMK_OK also where a piece fits no sheet: then there are no sheets
 * and no steps (nmk_plan_unfit_count). NMK_INVALID where the design does not hold together, or makers < 1; NMK_TOO_LARGE
 * (with a diagnostic in `list`, which may be NULL) for too many pieces, or sheets and marks that only a very fine grid has
 * in common; NMK_STOPPED. */
enum nmk_status nmk_plan_new(struct nmk_plan **out, const struct nmk_settled *settled, const struct nmk_plan_options *options,
                             struct nmk_diagnostics *list);
void nmk_plan_free(struct nmk_plan *plan); /* NULL allowed */

const struct nmk_settled *nmk_plan_settled(const struct nmk_plan *plan);
int64_t nmk_plan_makers(const struct nmk_plan *plan);
size_t nmk_plan_unfit_count(const struct nmk_plan *plan);
size_t nmk_plan_unfit(const struct nmk_plan *plan, size_t i); /* a piece that is larger than every sheet */
const struct nmk_plan_piece *nmk_plan_piece(const struct nmk_plan *plan, size_t piece); /* by the design's index */
size_t nmk_plan_stock_count(const struct nmk_plan *plan); /* those of which something is cut, in file order */
const struct nmk_plan_stock *nmk_plan_stock(const struct nmk_plan *plan, size_t i);
size_t nmk_plan_sheet_count(const struct nmk_plan *plan);
const struct nmk_plan_sheet *nmk_plan_sheet(const struct nmk_plan *plan, size_t i);
size_t nmk_plan_part_count(const struct nmk_plan *plan);
const struct nmk_plan_part *nmk_plan_part(const struct nmk_plan *plan, size_t i);
size_t nmk_plan_step_count(const struct nmk_plan *plan);
const struct nmk_plan_step *nmk_plan_step(const struct nmk_plan *plan, size_t i);
/* How often the trimmer is set for cuts; at least so often for sheets cut so, in whatever order: equal where it is proved. */
size_t nmk_plan_moves(const struct nmk_plan *plan);
size_t nmk_plan_moves_bound(const struct nmk_plan *plan);

/* The sheets on which a stock is taken in an edition (1). How many; *out is borrowed. */
size_t nmk_stock_sheets(const struct nmk_sheet **out, const struct nmk_edition *edition, const struct nmk_stock *stock);

/* The independent checker: takes the sheets of the plan and does its steps, one after the other. True if every cut is
 * measured within the reach, edge to edge, on something that is in hand, and the trimmer is set as often as stated; every
 * piece comes out as often as wanted, in its size and along its grain (or fits no sheet so); every score, and every cut
 * within a piece, lies at its line, once, taken from its edge of the cut list; every opening, punch, mitre, snip, fold, glueing
 * and layer is made once, and everything is said, at its place; all in the order of (4). `why`, which may be NULL, says what is
 * wrong (static), or NULL. Of a plan without sheets: that these pieces, and no others, fit none. */
bool nmk_plan_check(const struct nmk_plan *plan, const char **why);

#endif
