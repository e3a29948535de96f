/* lettering.h -- how wide text is, where it may be broken, and how fractions are set.
 *
 * The same widths lay out every format, so that SVG, PDF and PNG have one geometry and SVG needs no drawing library. They
 * are the advance widths of DejaVu Sans, one of the widest sans faces in common use (read from the face itself, in
 * thousandths of an em), and for other scripts the widest that is usual. A writer that knows its real face sets a text
 * smaller where that face is wider still. */
#ifndef TOOLS_DRAW_LETTERING_H
#define TOOLS_DRAW_LETTERING_H

#include <stdbool.h>
#include <stddef.h>

/* Of an em, above and below the baseline: the box of a text. Accents on capitals and the depth of Arabic are within it. */
#define LETTERING_UP 0.95
#define LETTERING_DOWN 0.27

/* Fractions: `7 U+2044 16` in a text is set with raised and lowered digits. A text is cut into runs. */
#define LETTERING_SMALL 0.62 /* digits of a fraction, of the size */
#define LETTERING_RAISE 0.30 /* numerator, of the size */

enum run_kind { RUN_PLAIN, RUN_NUMERATOR, RUN_SLASH, RUN_DENOMINATOR };
struct run {
    enum run_kind kind;
    const char *text; /* not NUL-terminated */
    size_t size;
};
/* The run that begins at text; false at the end. */
bool lettering_run(const char *text, struct run *run);

double lettering_width(const char *text, double size, bool bold);
double lettering_width_part(const char *text, size_t bytes, double size, bool bold);

/* The longest beginning of text, in bytes, that is no wider and does not tear a letter from its marks; may be 0. */
size_t lettering_fit(const char *text, double width, double size, bool bold);
/* The text, or its beginning with an ellipsis, no wider than that (at least the ellipsis). The caller's (store_free). */
__attribute__((returns_nonnull)) char *lettering_elide(const char *text, double width, double size, bool bold);

/* Text filled into at most `most` lines, broken at spaces, else behind `_`, inside a word where it must; the last is elided. */
enum { LETTERING_LINES = 6 };
struct lines {
    char *line[LETTERING_LINES];
    size_t count;
    bool torn; /* a word was broken inside, or something left out */
};
void lettering_wrap(struct lines *out, const char *text, double width, double size, bool bold, size_t most);
void lettering_lines_clear(struct lines *lines);

#endif
