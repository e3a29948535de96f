/* shape_rows.h -- a piece with rows as it is drawn: where its lines run, what is left of the card, what is cut away. */
#ifndef TOOLS_DRAW_SHAPE_ROWS_H
#define TOOLS_DRAW_SHAPE_ROWS_H

#include "draw/shape.h"
#include "ground/sink.h"

#define SHAPE_KNIFE_NOTE "Cuts within the piece: with a knife and a ruler"

/* What a shape has of rows alone, its outline included; its lists are filled. */
void shape_take_rows(struct shape *shape, const struct nmk_settled *settled);
/* "Cut away 15 mm at the left edge and 16 mm at the right edge, beside flap and back". false: the row has no rest. */
bool shape_add_rests(struct sink *out, const struct nmk_settled *settled, size_t piece, enum nmk_way way, size_t row);
/* The stretch of a piece in whose middle, that way, something lies; NMK_NONE: it lies in the middle of the whole. */
size_t shape_stretch_on(const struct nmk_piece *piece, size_t index, const struct nmk_on *on, enum nmk_way way);

#endif
