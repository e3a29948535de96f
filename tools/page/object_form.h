/* object_form.h -- where a viewer types their own size: boxes on line drawings of an object. */
#ifndef TOOLS_PAGE_OBJECT_FORM_H
#define TOOLS_PAGE_OBJECT_FORM_H

#include "page/publication.h"

void object_form_write(struct sink *out, const struct publication *all);

#endif
