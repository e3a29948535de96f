/* draw_main.c -- nearmark-draw pdf|png: scenes from standard input, the file to standard output. */
#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "draw/backend/paint.h"
#include "ground/letters.h"
#include "ground/message.h"
#include "ground/store.h"

/* Everything there is, before anything is written: the caller waits for no answer until it has said all. */
static bool read_all(struct sink *in)
{
    char part[1 << 16];
    for (;;) {
        ssize_t n = read(STDIN_FILENO, part, sizeof part);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return n == 0;
        sink_add(in, part, (size_t)n);
    }
}

static bool paint(struct sink *out, const char *format, const struct scenes *scenes)
{
    if (!strcmp(format, "pdf"))
        return paint_pdf(out, scenes);
    return !strcmp(format, "png") && scenes->count == 1 && paint_png(out, &scenes->list[0]);
}

int main(int argc, char **argv)
{
    struct sink in = {0}, out;
    struct scenes scenes = {0};
    enum ending ending = ENDING_FAILED;
    letters_prepare();
    sink_init(&out, COLOUR_NEVER);
    if (argc != 2)
        message_error("nearmark-draw is started by nearmark, when it draws");
    else if (!read_all(&in) || !in.size || !scenes_read(&scenes, in.data, in.size))
        message_error("nearmark-draw was given no drawing");
    else if (!paint(&out, argv[1], &scenes))
        message_error("the drawing cannot be made as %s", argv[1]);
    else
        ending = sink_close(&out, ENDING_DONE);
    sink_drop(&out);
    sink_drop(&in);
    scenes_clear(&scenes);
    return (int)ending;
}
