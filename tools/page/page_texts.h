/* page_texts.h -- the script and the style of the published page: the .js files, as one, and page_style.css beside this
 * file. */
#ifndef TOOLS_PAGE_PAGE_TEXTS_H
#define TOOLS_PAGE_PAGE_TEXTS_H

extern const char page_script[];
extern const char page_style[];

#endif
