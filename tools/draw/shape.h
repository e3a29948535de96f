/* shape.h -- a piece of a settled design as it is drawn: outline, cuts, scores, panels, dimensions, in millimetres of the
 * card, y downward from the upper edge, x from the left edge. From here on figures are floats; nothing is decided by them. */
#ifndef TOOLS_DRAW_SHAPE_H
#define TOOLS_DRAW_SHAPE_H

#include "draw/scene.h"
#include "nearmark/settle.h"

struct shape_panel { /* one stretch */
    const char *name;
    bool glue;
};

struct shape_list { /* one direction */
    size_t count;                /* stretches; at least 1 */
    double *lines;               /* count + 1, the first 0, the last the whole size */
    struct shape_panel *panels;  /* count; NULL: they have no names */
    bool *from_last;             /* count + 1 */
    char **figures;              /* count + 1: of each score from its edge, at count of the whole; [0] is NULL */
};

struct shape_opening {
    double across, down, x, y; /* its size, and where its middle is */
    char *figure;              /* "63 × 38" */
    char *name;
};

enum { SHAPE_MOST_POINTS = 20 };

struct shape {
    size_t piece;
    double across, down;
    bool punched;              /* comes from a punch: no cuts, no lines */
    struct point outline[SHAPE_MOST_POINTS];
    size_t outline_count;
    struct shape_list lists[2];
    bool snipped;              /* lines of snipped_way stop short of the edges: first, last score of the other way */
    enum nmk_way snipped_way;
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

double size_number(const struct nmk_rat *mm);
/* A size without its unit, fractions with U+2044; the caller's (store_free). */
__attribute__((returns_nonnull)) char *size_figure(const struct nmk_settled *settled, const struct nmk_rat *mm);
/* Of any size, with its unit (as edition_size, fractions with U+2044). */
__attribute__((returns_nonnull)) char *size_with_unit(const struct nmk_settled *settled, const struct nmk_rat *mm);

#endif
