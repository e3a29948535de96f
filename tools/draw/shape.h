/* shape.h -- a piece of a settled design as it is drawn: outline, cuts, scores, panels, dimensions, in millimetres of the
 * card, y downward from the upper edge, x from the left edge. From here on figures are floats; nothing is decided by them. */
#ifndef TOOLS_DRAW_SHAPE_H
#define TOOLS_DRAW_SHAPE_H

#include "draw/scene.h"
#include "nearmark/settle.h"

struct shape_panel { /* one stretch */
    const char *name;  /* NULL: a rest */
    bool glue;
    size_t lines[2];   /* between which it lies */
    size_t row;        /* of its direction */
    size_t beside;     /* the row of the other direction whose lines run beside it */
};

struct shape_run { /* where a line of a piece with rows runs, as nmk_run */
    size_t line;
    double from, to;
    bool is_cut;
};

struct shape_list { /* one direction */
    size_t count;                /* stretches; at least 1 */
    size_t line_count;           /* both edges included; without rows count + 1, and stretch i has the lines i and i + 1 */
    double *lines;               /* of each line; the first is 0, the last the whole size */
    struct shape_panel *panels;  /* count; NULL: they have no names */
    bool *from_last;             /* of each line */
    char **figures;              /* of each line from its edge, of the last the whole size; [0] is NULL */
    size_t settings;             /* different ones, the whole size included */
    /* of a piece with rows, else NULL: */
    struct shape_run *runs;      /* line by line */
    size_t run_count;
    bool *is_told;               /* of each line: another has the same setting, or it runs nowhere */
    double *starts;              /* of each line: how far from the edge of the other direction the first of its place begins */
    char **beside;               /* of each line: " beside flap and back"; NULL: beside everything */
};

struct shape_opening {
    double across, down, x, y; /* its size, and where its middle is */
    char *figure;              /* "63 × 38" */
    char *name;
};

enum { SHAPE_MOST_POINTS = 20 }; /* of an outline without rows */

struct shape {
    size_t piece;
    double across, down;
    bool punched;              /* comes from a punch: no cuts, no lines */
    struct point *outline;     /* with rows: what is left of the card, from the first stretch of the direction with one row */
    size_t outline_count;
    struct shape_list lists[2];
    bool snipped;              /* lines of snipped_way stop short of the edges: first, last score of the other way */
    enum nmk_way snipped_way;
    bool has_rows;             /* lines run where `runs` say */
    bool has_knife;            /* something is cut within it: the note on it stands behind those of layers, snips and mitres */
    struct shape_opening *openings;
    size_t opening_count;
    char *title;               /* the label */
    char *task, *brief;        /* "Cut 2 from plain card", "2 of plain card" */
    char **notes;              /* what the drawing alone does not tell */
    size_t note_count;
    bool has_grain;
    enum nmk_way grain;
};

/* Lines of one piece in the settled column, which must exist. */
void shape_init(struct shape *shape, const struct nmk_settled *settled, size_t piece);
void shape_clear(struct shape *shape);
/* Where a line of a direction begins and ends within the outline (snips, mitres). false: it is not to be seen. */
bool shape_line(const struct shape *shape, enum nmk_way way, size_t line, double *from, double *to);
/* The whole size of a direction. */
double shape_whole(const struct shape_list *list);
bool shape_has_scores(const struct shape *shape);
/* Is there card where these stretches meet, and do the lines of both run there? */
bool shape_is_cell(const struct shape *shape, size_t across, size_t down);
/* The far end of a stretch's last cell, along the other direction. */
double shape_far(const struct shape *shape, enum nmk_way way, size_t stretch);

double size_number(const struct nmk_rat *mm);
/* A size without its unit, fractions with U+2044; the caller's (store_free). */
__attribute__((returns_nonnull)) char *size_figure(const struct nmk_settled *settled, const struct nmk_rat *mm);
/* Of any size, with its unit (as edition_size, fractions with U+2044). */
__attribute__((returns_nonnull)) char *size_with_unit(const struct nmk_settled *settled, const struct nmk_rat *mm);

#endif
