/* post_text.h -- the page for a blog that takes no scripts: Markdown with tables and pictures. */
#ifndef TOOLS_PAGE_POST_TEXT_H
#define TOOLS_PAGE_POST_TEXT_H

#include "page/publication.h"

void post_text_write(struct sink *out, const struct publication *all);

#endif
