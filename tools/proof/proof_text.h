/* proof_text.h -- what proofreading found, on the screen and as JSON. */
#ifndef TOOLS_PROOF_PROOF_TEXT_H
#define TOOLS_PROOF_PROOF_TEXT_H

#include "ground/json.h"
#include "proof/finding.h"

/* `text`: the written list, for its lines. */
void proof_text_show(struct sink *out, const struct proof *proof, const char *text, size_t size);
void proof_json(struct json *j, const struct proof *proof);
/* Why a figure may be wrong, "one mark too much"; nothing where no reason is known. */
void proof_reason(struct sink *out, const struct proof *proof, const struct finding *f);
/* The figure that belongs there; the caller's (store_free). NULL: it is not known which. */
char *proof_belongs(const struct proof *proof, size_t claim);

#endif
