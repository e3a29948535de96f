/* paint.h -- scenes as PDF and PNG, by cairo and pango. */
#ifndef TOOLS_DRAW_BACKEND_PAINT_H
#define TOOLS_DRAW_BACKEND_PAINT_H

#include "draw/scene_stream.h"

/* A page for each scene; to `out`. false: the drawing libraries could not. */
bool paint_pdf(struct sink *out, const struct scenes *scenes);
/* One scene. */
bool paint_png(struct sink *out, const struct scene *scene);

#endif
