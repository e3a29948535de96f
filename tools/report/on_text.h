/* on_text.h -- what a layer or an opening lies on, as it is said: "face x depth of Sleeve". */
#ifndef TOOLS_REPORT_ON_TEXT_H
#define TOOLS_REPORT_ON_TEXT_H

#include "ground/sink.h"
#include "nearmark/design.h"

void on_text_add(struct sink *words, const struct nmk_design *design, const struct nmk_on *on);

#endif
