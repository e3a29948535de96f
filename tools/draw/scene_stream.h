/* scene_stream.h -- scenes as text, from the program to nearmark-draw. */
#ifndef TOOLS_DRAW_SCENE_STREAM_H
#define TOOLS_DRAW_SCENE_STREAM_H

#include "draw/scene.h"
#include "ground/sink.h"

struct scenes { /* the pages of one file */
    struct scene *list;
    size_t count;
};
void scenes_clear(struct scenes *scenes);
struct scene *scenes_add(struct scenes *scenes); /* a new last one, zeroed */

void scene_write(struct sink *out, const struct scene *scene);
/* All scenes of text[0..size), NUL-terminated. false: it is not what scene_write wrote; then *out is empty. */
bool scenes_read(struct scenes *out, const char *text, size_t size);

#endif
