/* drawer.h -- scenes as files of a format: SVG here, PDF and PNG by nearmark-draw. */
#ifndef TOOLS_DRAW_DRAWER_H
#define TOOLS_DRAW_DRAWER_H

#include "draw/scene_stream.h"

enum format { FORMAT_SVG, FORMAT_PDF, FORMAT_PNG, FORMAT_COUNT };
extern const char *const format_names[FORMAT_COUNT]; /* "svg" ... */

/* The whole file to `out`, which is only gathered; PDF: all scenes, else the first. Not DONE: the message was given. */
enum ending drawer_write(struct sink *out, enum format format, const struct scenes *scenes);

#endif
