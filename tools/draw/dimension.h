/* dimension.h -- the dimensions of one direction, in rows outside the piece.
 *
 * Each score has its own dimension from the edge it is taken from, the whole size the outermost row. Where a figure finds no
 * room between its arrows it stands beside them: behind the score where no other extension line passes, else beyond the edge
 * the score is taken from, where none can. */
#ifndef TOOLS_DRAW_DIMENSION_H
#define TOOLS_DRAW_DIMENSION_H

#include "draw/shape.h"

/* Of a direction with more scores than that only the whole size is dimensioned; the cut list has them all. */
enum { DIMENSION_MOST = 40 };

struct dimension {
    double from, to;        /* along the direction, in page mm from the first edge; from < to */
    double starts[2];       /* how far from the edge the card begins there: extension lines come from so far */
    bool last;              /* measured from the last edge */
    bool whole;
    const char *figure;
    double width;           /* of the figure */
    double middle;          /* of the figure, along */
    bool outside;           /* the figure stands beyond its edge, */
    bool inner;             /* or behind its score, */
    bool aside;             /* or outside of its line: the whole size of a low piece */
    bool tight;             /* the arrows point from outside */
    double low, high;       /* all that it covers, along */
    size_t row;             /* from 0, the nearest to the piece */
};

struct dimensions {
    enum nmk_way way;
    double text;            /* size of figures */
    bool turned;            /* figures read upward (only down) */
    struct dimension *list;
    size_t count, rows;
    double *offset;         /* of each row's line from the piece */
    double before, behind;  /* how far figures stand out beyond the first and the last edge */
};

void dimensions_init(struct dimensions *d, const struct shape *shape, enum nmk_way way, double scale, double text, bool turned);
/* How far the rows reach out, from `start`. */
double dimensions_depth(const struct dimensions *d, double start);
/* How near to the edge a figure or an arrow comes that stands out beyond the first edge; a large number: none does. */
double dimensions_near(const struct dimensions *d, double start);
/* Draws it; the piece's upper left corner is at 0, 0. `start`: where the first row may begin, from the edge. */
void dimensions_draw(const struct dimensions *d, struct scene *scene, double start);
void dimensions_clear(struct dimensions *d);

#endif
