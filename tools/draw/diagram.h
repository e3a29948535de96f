/* diagram.h -- one piece as a cutting diagram: its name, what to cut it from, the drawing with its dimensions, notes. */
#ifndef TOOLS_DRAW_DIAGRAM_H
#define TOOLS_DRAW_DIAGRAM_H

#include "draw/shape.h"

#define DIAGRAM_LINE 0.085 /* the line unit of a scene, times the text */

struct diagram_style {
    double text;       /* size of figures and names, mm */
    double most_width; /* words are broken to keep within it; 0: as wide as the drawing asks */
    double narrowest;  /* words are not set narrower than that, times the text, where it goes */
    double least;      /* nothing but the digits of fractions is set smaller than this part of the text */
    bool names;        /* of panels, where they have room */
    bool leaders;      /* those without room stand beside the piece */
    bool notes;        /* what the drawing does not tell; without them it is said in brief */
    bool bare;         /* no title and no notes: what surrounds it says them */
};

/* A scene of its own, no larger than needed: everything lies between 0, 0 and its width and height. */
void diagram_build(struct scene *out, const struct shape *shape, double scale, const struct diagram_style *style);

#endif
