/* flow.h -- diagrams of many pieces, put into areas of one size like words into lines, in their order.
 *
 * As far as they can, all of them have one scale, the largest with which one area holds them; a piece that would be too small
 * to be read is drawn larger. Where they would all become too small, further areas are taken. */
#ifndef TOOLS_DRAW_FLOW_H
#define TOOLS_DRAW_FLOW_H

#include "draw/diagram.h"

struct flow_style {
    double width, height;      /* of an area */
    double gap;                /* between diagrams, times the text */
    const double *texts;       /* sizes to try, from the best to the least; ends with 0 */
    const double *generous;    /* how long the longest piece shall be, times the text; so too */
    double readable;           /* and the shortest */
    double least;              /* nothing but the digits of fractions is set smaller, mm */
    double narrowest;          /* of words, times the text */
    double most_scale;
    bool names, leaders, notes;
    bool spread;               /* what is left over goes between them */
};

struct flow {
    size_t count;
    struct scene *diagrams;
    struct point *at;          /* the upper left corner of each in its area */
    size_t *area;              /* from 0 */
    size_t area_count;
    double *texts;             /* the size taken in each area */
};

void flow_init(struct flow *flow, const struct shape *shapes, size_t count, const struct flow_style *style);
void flow_clear(struct flow *flow);

#endif
