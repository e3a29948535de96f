/* findings.h -- what parts settled to, remembered by what they depend on (parts.h). */
#ifndef LIB_SETTLE_FINDINGS_H
#define LIB_SETTLE_FINDINGS_H

#include "settle/parts.h"

struct nmk_found { /* what a part settles to at one key */
    size_t number; /* which part */
    char *key;
    size_t key_size;
    uint64_t hash;
    bool feasible;
    enum nmk_state state;
    int64_t *marks; /* by length of the part; NULL where it was only seen that it can be met, beside one that cannot */
    size_t *bad, bad_count; /* not feasible: a smallest conflict */
};

struct nmk_findings { /* zeroed: empty */
    struct nmk_found **table; /* open addressing */
    size_t size, used;
    struct nmk_text key;
};

void nmk_findings_clear(struct nmk_findings *findings);
/* Room for `count` more. Beyond a limit everything is forgotten, so that memory stays bounded over any grid. */
void nmk_findings_make_room(struct nmk_findings *findings, size_t count);
/* What is known of a part in a draft; NULL: nothing. There must have been room. */
struct nmk_found *nmk_findings_get(struct nmk_findings *findings, size_t number, const struct nmk_part *part,
                                   const struct nmk_draft *draft);
struct nmk_found *nmk_findings_add(struct nmk_findings *findings, size_t number, const struct nmk_part *part,
                                   const struct nmk_draft *draft);

#endif
