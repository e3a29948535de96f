/* panel_name.h -- names of panels: inside their panel where there is room, else outside, on a leader
 * (not where there is only one panel: its size is that of the whole). Of rows each names its panels in the widest panel that
 * it is beside, but not those that another row has named in the same place. */
#ifndef TOOLS_DRAW_PANEL_NAME_H
#define TOOLS_DRAW_PANEL_NAME_H

#include "draw/diagram.h"

/* Adds the names to the scene (the piece's corner at 0, 0) and the boxes of those that lie on hatching to `holes`
 * (the caller's, room for all panels of both directions). How many there are. */
size_t panel_names_draw(struct scene *scene, const struct shape *shape, double scale, const struct diagram_style *style,
                        struct box *holes);

#endif
