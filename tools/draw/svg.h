/* svg.h -- a scene as SVG 1.1: text that can be selected, read aloud and searched, the same bytes for the same scene.
 *
 * Every group has the class of its role (scene_look): card, glue, score, cut, centre, dimension, arrow, frame, ink, quiet. The
 * root has the class `nearmark-diagram`. Ink takes the colour of what surrounds it (currentColor). */
#ifndef TOOLS_DRAW_SVG_H
#define TOOLS_DRAW_SVG_H

#include "draw/scene.h"
#include "ground/sink.h"

/* A file of its own, with an XML declaration and colours for light and dark. */
void svg_write(struct sink *out, const struct scene *scene);
/* An <svg> element to put into HTML, shown so many times as large. `prefix`: begins every id, so that several can stand in one
 * page; letters, digits and `-`. */
void svg_embed(struct sink *out, const struct scene *scene, const char *prefix, double times);
/* Rules of CSS for dark surroundings, for the page that the elements stand in (it puts them into its media query). */
const char *svg_dark_style(void);

#endif
