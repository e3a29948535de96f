/* scene.h -- one page of a drawing: paths and texts, in millimetres of the page, y downward.
 *
 * A scene knows nothing of designs or files. Every mark has a role; what a role looks like (line type, weight, colour) is in
 * scene_look, so that all writers draw the same. A text has a box that its writer must stay in: widths are those of
 * lettering.h, which are those of a wide face, so that a narrower one fits too. */
#ifndef TOOLS_DRAW_SCENE_H
#define TOOLS_DRAW_SCENE_H

#include <stdbool.h>
#include <stddef.h>

enum role {
    ROLE_CARD,    /* the face of a piece, filled */
    ROLE_HATCH,   /* glue */
    ROLE_SCORE,   /* narrow continuous */
    ROLE_CUT,     /* wide continuous */
    ROLE_CENTRE,  /* narrow, long dash and dot */
    ROLE_LEADER,  /* dimension, extension and leader lines */
    ROLE_ARROW,   /* filled */
    ROLE_FRAME,   /* rules of the page, crop marks */
    ROLE_INK,     /* text */
    ROLE_QUIET,   /* text of the second rank */
    ROLE_COUNT
};

struct look {
    const char *name;   /* stable, "cut"; a class in SVG */
    bool filled;        /* else stroked */
    double weight;      /* of the line, times the scene's line unit */
    double dash[4];     /* times the weight; {0}: continuous */
    double colour[3];   /* red, green, blue from 0 to 1, for PDF and PNG; SVG takes the colour of the page for ink */
    const char *css;    /* its colour in SVG */
};
extern const struct look scene_look[ROLE_COUNT];

struct point {
    double x, y;
};

struct box {
    double x, y, width, height;
};

enum mark_kind { MARK_PATH, MARK_TEXT, MARK_CLIP, MARK_UNCLIP };
enum anchor { ANCHOR_START, ANCHOR_MIDDLE, ANCHOR_END };

struct mark {
    enum mark_kind kind;
    enum role role;
    /* PATH: polylines one after the other; starts[i] begins a new one. Closed: each of them is. */
    struct point *points;
    bool *starts;
    size_t point_count;
    bool closed;
    /* TEXT: its baseline begins, has its middle, or ends at `at`. Turned: reads upward, from the right side of the page. */
    char *text;
    struct point at;
    double size; /* em */
    enum anchor anchor;
    bool turned, bold;
    /* TEXT: its box; CLIP: marks up to UNCLIP are shown inside it alone */
    struct box box;
};

struct scene {
    double width, height;
    double line;          /* the line unit: a weight of 1 */
    double dots;          /* dots a millimetre, where it becomes dots */
    char *title, *about;  /* for those who do not see it; may be NULL */
    bool open;            /* no ground of its own: the page it stands in shows through */
    struct mark *marks;
    size_t count, space;
};

void scene_init(struct scene *scene, double width, double height, double line);
void scene_clear(struct scene *scene); /* a cleared or zeroed one may be cleared again */
void scene_say(struct scene *scene, const char *title, const char *about); /* copies */

/* The path that the following points go into. */
void scene_path(struct scene *scene, enum role role, bool closed);
void scene_move(struct scene *scene, double x, double y);
void scene_to(struct scene *scene, double x, double y);

void scene_line(struct scene *scene, enum role role, double x1, double y1, double x2, double y2);
/* A level or upright line, left out where a text of the scene stands, or in one of the boxes. */
void scene_line_between_texts(struct scene *scene, enum role role, double x1, double y1, double x2, double y2,
                              const struct box *boxes, size_t box_count);
void scene_box(struct scene *scene, enum role role, struct box box);
void scene_polygon(struct scene *scene, enum role role, const struct point *points, size_t count);
/* A box with round corners; the same as a hole in the path that was added last, a filled one. */
void scene_round(struct scene *scene, enum role role, struct box box, double radius);
void scene_hole(struct scene *scene, struct box box, double radius);
/* Lines at 45 degrees, `apart` from each other, over the polygon inside the box, but not in the holes. */
void scene_hatch(struct scene *scene, const struct point *points, size_t count, struct box inside, double apart,
                 const struct box *holes, size_t hole_count);
/* An arrow's head with its tip at x, y that points along dx, dy (one of them 0, the other 1 or -1). */
void scene_arrow(struct scene *scene, double x, double y, double dx, double dy, double length);

struct type {
    double size;
    bool bold;
    enum role role;
    enum anchor anchor;
    bool turned;
};
/* `at`: on the baseline. */
void scene_text(struct scene *scene, double x, double y, const struct type *type, const char *text);
/* The box that the text would have. */
struct box scene_text_box(double x, double y, const struct type *type, const char *text);

void scene_clip(struct scene *scene, struct box box);
void scene_unclip(struct scene *scene);
/* Everything of `from`, moved by dx, dy. */
void scene_add(struct scene *scene, const struct scene *from, double dx, double dy);

bool box_meets(const struct box *a, const struct box *b); /* more than touching */

#endif
