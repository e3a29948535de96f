/* video_text.h -- the cut lists as a video's description: plain text of at most VIDEO_TEXT_MOST letters. */
#ifndef TOOLS_PAGE_VIDEO_TEXT_H
#define TOOLS_PAGE_VIDEO_TEXT_H

#include "page/publication.h"

enum { VIDEO_TEXT_MOST = 5000 }; /* counted as UTF-16 does: a letter beyond the first 65,536 counts twice */

/* Where it would be longer, first notes go, then scores, then the last pieces; what is left out is said. */
void video_text_write(struct sink *out, const struct publication *all);

#endif
