/* design.h -- a design as its file says it.
 *
 * nmk_design_read turns the text of a design file into a model, or into diagnostics. The model keeps formulas as they
 * stand (they mean another size in each edition); nothing in it is rounded or settled. Everything reached from a design
 * is owned by it, const, and lives until nmk_design_free. Arrays are in file order; an index is the place in its array.
 * Lengths are in millimetres throughout. */
#ifndef NEARMARK_DESIGN_H
#define NEARMARK_DESIGN_H

#include "nearmark/diagnostics.h"
#include "nearmark/length.h"
#include "nearmark/rat.h"
#include "nearmark/sheet.h"

#define NMK_NONE ((size_t)-1)

enum nmk_way { NMK_ACROSS, NMK_DOWN };

/* A length that may be written twice, once metric and once in inches. Where it is not, both are the same. */
struct nmk_twin {
    struct nmk_rat metric, inch; /* both in mm */
};

struct nmk_bounds {
    bool has_low, has_high;
    struct nmk_twin low, high;
};

/* ---- formulas ---- */

enum nmk_formula_kind {
    NMK_F_NUMBER,  /* value */
    NMK_F_LENGTH,  /* value */
    NMK_F_PI,
    NMK_F_NEG,     /* left */
    NMK_F_ABS,     /* left */
    NMK_F_SQRT,    /* left */
    NMK_F_ADD, NMK_F_SUB, NMK_F_MUL, NMK_F_DIV, NMK_F_MIN, NMK_F_MAX, /* left, right; min(a, b, c) = min(min(a, b), c) */
    NMK_F_MEASURE, /* subject: measure */
    NMK_F_STOCK,   /* subject: stock; its thickness */
    NMK_F_LET,     /* subject: let */
    NMK_F_PANEL,   /* subject: piece, part: panel; one stretch of card. A mat's `smaller`: NMK_F_SMALLER */
    NMK_F_SMALLER, /* subject: piece (a mat with a length of its own) */
    NMK_F_WHOLE,   /* subject: piece, part: enum nmk_way; the cut size, or the punched size */
    NMK_F_OPENING, /* subject: opening, part: enum nmk_way */
    NMK_F_TOTAL,   /* subject: piece, part: panel */
    NMK_F_OUTSIDE  /* subject: piece, part: panel */
};

/* The nodes of one formula are never more than 1,002 deep; a let, a panel or a piece that is named is another formula, of
 * something defined above (a panel: earlier in its piece, or above), so that whoever works in file order need not recurse
 * into it. A let is read as if in parentheses; where it is a length (nmk_let.length) it is that length in a demand. */
struct nmk_formula {
    enum nmk_formula_kind kind;
    int power; /* of length: 0 a number, 1 a length, 2 an area; may be negative */
    struct nmk_span span;
    struct nmk_twin value; /* NUMBER: both the number */
    size_t subject, part;
    const struct nmk_formula *left, *right;
};

/* ---- what is measured and bought ---- */

struct nmk_measure {
    const char *name, *label; /* label: the name where there is none; so everywhere */
    struct nmk_rat size, off; /* size +- off; `read to r`: off = r/2 */
    enum nmk_unit unit;       /* as written */
    bool read_to;             /* written with `read to` */
    bool has_range;
    struct nmk_rat from, to;
    struct nmk_span span;
};

enum nmk_grain { NMK_GRAIN_NONE, NMK_GRAIN_LONG, NMK_GRAIN_SHORT }; /* along the sheet's long or short edge */

struct nmk_stock {
    const char *name, *label;
    struct nmk_rat thickness, off;
    bool has_weight;
    struct nmk_rat gsm;       /* grams per square metre */
    const char *weight;       /* as written, "250 gsm", "80 lb cover"; NULL without */
    size_t sheet_count;       /* 0, 1 or 2 */
    struct nmk_sheet sheets[2];
    enum nmk_grain grain;
    struct nmk_span span;
};

struct nmk_let {
    const char *name;
    const struct nmk_formula *formula;
    size_t length; /* the length it is, if it stands bare as a panel or after `smaller by`; else NMK_NONE */
    struct nmk_span span;
};

struct nmk_punches {
    const char *name;
    size_t count;
    const struct nmk_rat (*sizes)[2]; /* [i][way] */
    struct nmk_span span;
};

/* ---- pieces ---- */

struct nmk_panel {
    const char *name;
    /* Its designed size; for `over` and `inside` the formula and clear, combined; for a let: the let. */
    const struct nmk_formula *formula;
    size_t length;                     /* the length it is */
    struct nmk_span span;
};

struct nmk_stretch { /* one place where a panel stands in a list */
    size_t panel;    /* of the piece; NMK_NONE: a `rest`, which is cut away */
    bool glue;
    size_t row;      /* of its direction */
    size_t beside;   /* the row of the other direction whose lines run beside it */
    size_t lines[2]; /* the two lines that bound it, of its direction */
    struct nmk_span span;
};

/* A line of a direction. Line 0 is the first edge and the last one the last edge: both are cuts, of all rows. The lines
 * between are those within row 0, first to last, then those within row 1 and so on, so that with one row stretch i has the
 * lines i and i + 1. */
struct nmk_line {
    size_t row;  /* NMK_NONE: an edge */
    bool is_cut; /* not a score: an edge, cut through (`||`), or beside a `rest` */
};

enum nmk_edge { NMK_FROM_FIRST, NMK_FROM_LAST, NMK_FROM_BOTH };

/* One written list. Its lines run only beside some panels of the other direction, which then is one row. */
struct nmk_row {
    size_t first, count;  /* its stretches in the direction's */
    size_t beside_count;  /* 0: beside everything */
    const size_t *beside; /* panels of the piece, as written; all their stretches are meant */
    size_t rests[2];      /* how many `rest` (0 or 1) are its first stretch, its last stretch */
    struct nmk_span span; /* of the word `across` or `down` */
};

/* The direction `across` or `down` of a piece with panels: one row, or several. At most one direction has several. */
struct nmk_list {
    size_t count; /* stretches, row by row */
    const struct nmk_stretch *stretches;
    size_t row_count;
    const struct nmk_row *rows;
    size_t widest; /* the row that says how wide the piece is: the first without a `rest` */
    size_t line_count;
    const struct nmk_line *lines;
    enum nmk_edge edge; /* as the `score` statements say */
};

/* Where a `say` stands among the lines of its piece, as the work it comes with. The lines are read in the order of work:
 * cut, scored, snipped, glued; what counts is the line directly above (other `say` lines aside), and of a list or `score`
 * line also what follows. */
enum nmk_say_place {
    NMK_SAY_CUT,    /* directly below `piece`: before it is cut */
    NMK_SAY_SCORE,  /* below a list or `score` line, another of these follows: before it is scored */
    NMK_SAY_SCORED, /* below the last of these, `corners` or `ends` follows: when it is scored */
    NMK_SAY_SNIP,   /* below `corners`: before it is snipped */
    NMK_SAY_MITRE,  /* below `ends`: before it is mitred */
    NMK_SAY_GLUE    /* below a list or `score` line, no line follows: folded, before it is glued */
};

struct nmk_say {
    const char *text;
    enum nmk_say_place place;
};

enum nmk_piece_kind { NMK_PIECE_PANELS, NMK_PIECE_MAT, NMK_PIECE_PUNCHED };

/* A size that something lies on: a whole size or a panel; kind PANEL or WHOLE or OPENING as in a formula. */
struct nmk_on {
    const struct nmk_formula *across, *down; /* NULL where the border has only one direction */
    size_t piece;                            /* `on PIECE`: that piece; else NMK_NONE */
};

struct nmk_piece {
    const char *name, *label;
    enum nmk_piece_kind kind;
    uint32_t copies;
    size_t stock;
    bool has_grain;
    enum nmk_way grain;
    struct nmk_span span;
    /* PANELS */
    size_t panel_count;
    const struct nmk_panel *panels;
    struct nmk_list lists[2]; /* by way */
    bool snipped;
    enum nmk_way snipped_way;
    bool tapered;
    struct nmk_twin taper;
    bool mitred; /* also MAT */
    size_t say_count;
    const struct nmk_say *says; /* in file order */
    /* MAT */
    struct nmk_on on;
    const struct nmk_formula *smaller; /* designed */
    size_t smaller_length;             /* its length: a shared let's or its own */
    bool shows;
    struct nmk_bounds shown;
    /* PUNCHED */
    size_t punches, length; /* length: the choice */
};

struct nmk_opening {
    const char *name;
    size_t punches, length;
    size_t through_count;
    const size_t *through; /* pieces */
    struct nmk_on on;
    struct nmk_span span;
};

/* ---- lengths and demands ---- */

enum nmk_length_kind { NMK_LENGTH_PANEL, NMK_LENGTH_LET, NMK_LENGTH_SMALLER, NMK_LENGTH_CHOICE };

struct nmk_length { /* an unknown, in the order in which the file first makes it one */
    const char *name; /* "tray.wall", "step", "label.smaller", "hole" */
    enum nmk_length_kind kind;
    const struct nmk_formula *formula; /* its designed size; CHOICE: NULL */
    size_t punches;                    /* CHOICE */
    bool is_opening;                   /* CHOICE: an opening wants the largest, a piece the smallest */
    size_t subject;                    /* piece (PANEL, SMALLER, CHOICE), let, or opening (CHOICE and is_opening) */
    size_t part;                       /* PANEL: the panel */
    struct nmk_span span;
};

enum nmk_demand_kind { NMK_FIT, NMK_BORDER, NMK_EVEN, NMK_KEEP };

/* What is demanded: lo <= clearance <= hi, with the clearance
 *   FIT, KEEP  outer - inner
 *   BORDER     (outer - inner) / 2 + the error of laying by hand, of (statement, way)
 *   EVEN       (outer - inner) / 2 - (outer2 - inner2) / 2, across less down; no errors
 * exact: judged at nominal, bounds [0, 0] (EVEN; KEEP exactly). */
struct nmk_demand {
    enum nmk_demand_kind kind;
    const char *name;
    bool exact;
    bool whole;        /* EVEN of `even whole`: settling keeps both strips whole marks */
    enum nmk_way way;  /* BORDER */
    const struct nmk_formula *outer, *inner, *outer2, *inner2;
    struct nmk_bounds bounds;
    size_t statement;  /* which statement laid it down: demands of one have the same number, in file order */
    size_t piece;      /* the piece that lies on top, or whose panel laid the fit down; else (an opening on top) NMK_NONE */
    struct nmk_span span;
};

struct nmk_edition {
    const char *name;
    enum nmk_unit unit;        /* mm, cm, in */
    struct nmk_rat step;       /* of the marks, mm */
    enum nmk_unit step_unit;   /* the unit in which the marks are written */
    struct nmk_rat score_step; /* 0: scores on marks */
    struct nmk_rat cut, place; /* +- */
    struct nmk_rat reach;      /* 0: none */
    size_t sheet_count;        /* 1 or 2, the default filled in */
    struct nmk_sheet sheets[2];
    bool as_designed;
    bool declared;
    struct nmk_span span;
};

struct nmk_design;

/* Reads a design. `list` may gain notes also on NMK_OK. On NMK_INVALID (wrong text) or NMK_TOO_LARGE (over a limit)
 * *out is untouched and `list` holds at least one error. text need not be NUL-terminated and is not kept. */
enum nmk_status nmk_design_read(struct nmk_design **out, const char *text, size_t size, struct nmk_diagnostics *list);
void nmk_design_free(struct nmk_design *design); /* NULL allowed */

const char *nmk_design_title(const struct nmk_design *design); /* "" without */
size_t nmk_design_measure_count(const struct nmk_design *design);
const struct nmk_measure *nmk_design_measure(const struct nmk_design *design, size_t i);
size_t nmk_design_stock_count(const struct nmk_design *design);
const struct nmk_stock *nmk_design_stock(const struct nmk_design *design, size_t i);
size_t nmk_design_let_count(const struct nmk_design *design);
const struct nmk_let *nmk_design_let(const struct nmk_design *design, size_t i);
size_t nmk_design_punches_count(const struct nmk_design *design);
const struct nmk_punches *nmk_design_punches(const struct nmk_design *design, size_t i);
size_t nmk_design_piece_count(const struct nmk_design *design);
const struct nmk_piece *nmk_design_piece(const struct nmk_design *design, size_t i);
size_t nmk_design_opening_count(const struct nmk_design *design);
const struct nmk_opening *nmk_design_opening(const struct nmk_design *design, size_t i);
size_t nmk_design_length_count(const struct nmk_design *design);
const struct nmk_length *nmk_design_length(const struct nmk_design *design, size_t i);
size_t nmk_design_demand_count(const struct nmk_design *design);
const struct nmk_demand *nmk_design_demand(const struct nmk_design *design, size_t i);
/* The declared editions in file order, then `metric` and `imperial` where the file does not declare them. */
size_t nmk_design_edition_count(const struct nmk_design *design);
size_t nmk_design_declared_count(const struct nmk_design *design); /* how many of them are declared: they come first */
const struct nmk_edition *nmk_design_edition(const struct nmk_design *design, size_t i);

/* The index of the measure or edition of that name (NUL-terminated), or NMK_NONE. */
size_t nmk_design_find_measure(const struct nmk_design *design, const char *name);
size_t nmk_design_find_edition(const struct nmk_design *design, const char *name);
/* Another size for a measure (`--set`); its +- and range stay. INVALID unless size > 0. */
enum nmk_status nmk_design_set_measure(struct nmk_design *design, size_t measure, const struct nmk_rat *size);

/* Does a list of the piece say beside what its lines run, cut through or cut away? */
bool nmk_piece_has_rows(const struct nmk_piece *piece);
/* Of a piece with panels: in how many stretches a panel stands in one copy, and the greatest number of folds that one of
 * them has beside it (`outside`): its scores (not what is cut through), and the edge where the ring of a list with a glue
 * panel closes. */
size_t nmk_piece_stretches(const struct nmk_piece *piece, size_t panel);
size_t nmk_piece_folds(const struct nmk_piece *piece, size_t panel);

/* The model agrees with itself (every index in range, every length used ...). For tests and debug builds. */
bool nmk_design_check(const struct nmk_design *design);

#endif
