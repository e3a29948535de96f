/* page.h -- whole pages: all pieces of an edition, one piece, a picture for the end of a film, a piece at its true size.
 *
 * Everything is drawn from the settled column, which must exist (nmk_settled_holds_together). */
#ifndef TOOLS_DRAW_PAGE_H
#define TOOLS_DRAW_PAGE_H

#include "draw/diagram.h"
#include "draw/scene_stream.h"

struct paper { /* upright */
    double width, height; /* mm */
};
/* The sheet, or where it is NULL the usual one for the edition: A4, for inches Letter. */
struct paper page_paper(const struct nmk_sheet *sheet, const struct nmk_settled *settled);
bool page_takes(struct paper paper); /* false: too small to draw on */

/* The pieces of an edition, made once for all pages. */
struct gallery {
    const struct nmk_settled *settled;
    struct shape *shapes; /* in file order */
    size_t count;
};
void gallery_init(struct gallery *gallery, const struct nmk_settled *settled);
void gallery_clear(struct gallery *gallery);

/* All pieces on paper; more pages where one would be too small to read. */
void page_all(struct scenes *out, const struct gallery *gallery, struct paper paper);
/* One piece, on a page as large as it needs. */
void page_piece(struct scene *out, const struct gallery *gallery, size_t piece);
/* All pieces in 1920 x 1080 dots, to be read on a phone; more pictures where one would be too small to read. */
void page_picture(struct scenes *out, const struct gallery *gallery);
/* One piece at its true size, over as many pages as it needs, each with a line to check the printer by. false: the paper is
 * too small for that line, or it would take more than PAGE_MOST_TILES pages; then nothing is added. */
enum { PAGE_MOST_TILES = 200 };
bool page_actual(struct scenes *out, const struct gallery *gallery, size_t piece, struct paper paper);

/* A piece's diagram alone, without its title and notes, as an <svg> element to put into a page of HTML, to be read on a phone;
 * ids begin with the prefix. */
void page_embed(struct sink *out, const struct gallery *gallery, size_t piece, const char *prefix);
/* What one kind of line in them means: a sample of it, as an <svg> element, and the word for it; NULL: it is in none. */
enum { PAGE_SAMPLES = 4 };
const char *page_embed_sample(struct sink *out, const struct gallery *gallery, size_t kind, const char *prefix);

#endif
