/* cutting.h -- rectangles from sheets, cut edge to edge.
 *
 * (1) Pieces: rectangles of whole sizes, each with a demand; some may be turned by a quarter.
 * (2) Sheets: rectangles of one or several kinds, as many of each as wanted. A piece that is not turned has its width
 *     along the sheet's width.
 * (3) Cuts: each goes through what is in hand from edge to edge, straight across it, and costs no width. It is
 *     measured from one of the two edges that lie along it: the distance from that edge to the blade. With a reach,
 *     that distance is at most the reach; a part larger than the reach can still be made, by measuring the other part.
 * (4) A setting is a distance at which cuts are made; all cuts at one distance are one setting.
 * (5) Aims, in this order: the fewest sheets; the fewest settings; the largest single offcut, by area.
 *     The first is proved where the effort allows; the answer says so and gives the proven lower bound. For the other
 *     two the best plan that was met is taken.
 *
 * The same question gives the same answer everywhere: there are no seeds and no clock. */
#ifndef NEARMARK_CUTTING_H
#define NEARMARK_CUTTING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "nearmark/status.h"

/* Limits of a question; beyond them NMK_TOO_LARGE. Sizes count after division by their greatest common divisor. */
enum {
    NMK_CUTTING_LARGEST = 1 << 22,      /* a side */
    NMK_CUTTING_MOST_PIECES = 1 << 16,  /* the sum of the demands */
    NMK_CUTTING_MOST_KINDS = 64         /* kinds of sheet */
};

/* The budget that `effort` 0 stands for: about ten seconds' work on a small computer. */
#define NMK_CUTTING_EFFORT UINT64_C(2000000000)

struct nmk_cutting_piece {
    int64_t width, height; /* >= 1 */
    int64_t demand;        /* >= 0 */
    bool may_turn;
};

struct nmk_cutting_kind { /* of sheet */
    int64_t width, height; /* >= 1 */
};

struct nmk_cutting_problem {
    size_t piece_count, kind_count;
    const struct nmk_cutting_piece *pieces;
    const struct nmk_cutting_kind *kinds; /* at least one */
    int64_t reach;                        /* > 0; 0: none */
    bool any_settings, any_offcut;        /* true: that aim is left out */
    uint64_t effort;                      /* steps; 0: NMK_CUTTING_EFFORT */
    /* Called now and then; returning false stops the search with NMK_STOPPED. May be NULL. */
    bool (*progress)(void *context, uint64_t steps);
    void *context;
};

enum nmk_cutting_outcome {
    NMK_CUTTING_PROVED, /* no plan has fewer sheets */
    NMK_CUTTING_FOUND,  /* a plan, and a lower bound below its number of sheets */
    NMK_CUTTING_TOO_BIG /* piece `too_big` fits no sheet; no plan */
};

enum nmk_cutting_use {
    NMK_CUTTING_ACROSS, /* cut at `at` along the width: the first part is the left one, `at` wide */
    NMK_CUTTING_DOWN,   /* cut at `at` along the height: the first part is the upper one, `at` high */
    NMK_CUTTING_PIECE,
    NMK_CUTTING_OFFCUT
};

struct nmk_cutting_node {
    int64_t x, y, width, height; /* the rectangle on the sheet; x from the left, y from the top */
    enum nmk_cutting_use use;
    int64_t at;           /* of a cut, measured from the left or upper edge; 0 < at < width (height) */
    bool from_first;      /* of a cut: it is measured from the left or upper edge; else from the other one */
    size_t first, second; /* of a cut: the nodes of its parts; both greater than its own number */
    size_t piece;         /* of a piece */
    bool turned;          /* of a piece */
};

struct nmk_cutting_pattern {
    size_t kind;    /* of sheet */
    int64_t copies; /* so many sheets are cut like this */
    size_t node_count;
    struct nmk_cutting_node *nodes; /* the first is the whole sheet */
};

struct nmk_cutting_answer {
    enum nmk_cutting_outcome outcome;
    size_t too_big;          /* the first piece that fits no sheet */
    int64_t sheets, bound;   /* so many are used; so many are needed at least */
    int64_t settings;        /* how many different distances */
    int64_t offcut_width, offcut_height; /* the largest offcut; 0: none */
    size_t pattern_count;
    struct nmk_cutting_pattern *patterns; /* owned by the answer */
    uint64_t steps;
};

/* The best plan. INVALID: no kind of sheet, a size below 1, a negative demand or reach. TOO_LARGE: beyond the limits
 * above. STOPPED: the progress function said so. An effort that is too small is no failure: the answer is then a plan
 * that was found quickly, with its bound. No demand at all: 0 sheets. */
enum nmk_status nmk_cutting_solve(struct nmk_cutting_answer *out, const struct nmk_cutting_problem *problem);
void nmk_cutting_answer_clear(struct nmk_cutting_answer *answer);

/* The independent checker: cuts the sheets of the answer as it says, and counts. True if every cut is edge to edge
 * and within the reach, every piece has its size and was turned only where it may be, each demand is met exactly, and
 * the sheets, settings and largest offcut are as stated. `why`, which may be NULL, then says what is wrong (static
 * text), or NULL. An answer without a plan is right if that piece fits no sheet. */
bool nmk_cutting_check(const struct nmk_cutting_problem *problem, const struct nmk_cutting_answer *answer,
                       const char **why);

#endif
