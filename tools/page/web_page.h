/* web_page.h -- the published page: one file of HTML that needs nothing else and asks nobody for anything. */
#ifndef TOOLS_PAGE_WEB_PAGE_H
#define TOOLS_PAGE_WEB_PAGE_H

#include "page/publication.h"

void web_page_write(struct sink *out, const struct publication *all);

#endif
