/* page_parts.h -- what pages share: the head, the key, the words for those who do not see the drawing. */
#ifndef TOOLS_DRAW_PAGE_PARTS_H
#define TOOLS_DRAW_PAGE_PARTS_H

#include "draw/page.h"

/* The design's title and what the figures are, between two margins; where the next thing may begin. */
double page_head(struct scene *scene, const struct gallery *gallery, struct box area, double text, bool beside);
/* What the lines of these pieces mean, in a row that begins at the area's left and ends above its lower edge; smaller where it
 * would be wider. */
void page_key(struct scene *scene, const struct shape *const *shapes, size_t count, struct box area, double text);
/* Title and description of a scene of these pieces. */
void page_say(struct scene *scene, const struct gallery *gallery, const struct shape *const *shapes, size_t count);
/* "sizes in mm", "sizes in inches" */
const char *page_unit(const struct gallery *gallery);

#endif
