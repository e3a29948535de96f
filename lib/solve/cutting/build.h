/* build.h -- guillotine builds: ways in which pieces, joined edge to edge, fill a rectangle.
 *
 * (1) A build is one piece, two builds side by side, two builds stacked, or a build turned by a quarter.
 * (2) Its size is the smallest rectangle round it: side by side the widths add and the greater height counts; stacked
 *     the other way round.
 * Exactly the rectangles that can be cut apart by edge-to-edge cuts are builds. They stand in one growing array and
 * refer to each other by number; a build's parts always stand before it. */
#ifndef LIB_SOLVE_BUILD_H
#define LIB_SOLVE_BUILD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum nmk_build_kind { NMK_BUILD_PIECE, NMK_BUILD_BESIDE, NMK_BUILD_STACKED, NMK_BUILD_TURNED };

enum { NMK_BUILD_NONE = UINT32_MAX };

struct nmk_build {
    int32_t width, height;
    uint32_t first, second; /* parts; a turned build has only the first */
    uint32_t next;          /* for the owner's lists */
    int32_t lot;            /* of a piece */
    uint8_t kind;           /* enum nmk_build_kind */
    uint8_t roots;          /* for the owner: how the rectangle can be opened */
    uint8_t wide;           /* for the owner: what is beyond the reach */
};

struct nmk_builds {
    struct nmk_build *at;
    size_t count, space;
};

void nmk_builds_clear(struct nmk_builds *builds);
/* Each returns the number of the new build. */
uint32_t nmk_builds_piece(struct nmk_builds *builds, int32_t lot, int32_t width, int32_t height);
uint32_t nmk_builds_join(struct nmk_builds *builds, enum nmk_build_kind kind, uint32_t first, uint32_t second);
uint32_t nmk_builds_turn(struct nmk_builds *builds, uint32_t which);
/* Copies one build with all its parts, quarter turns carried out down to the pieces; the copy has none. Recurses as
 * deep as the build, so it is only for builds of few pieces. */
uint32_t nmk_builds_copy(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root);
/* The same for a build of any depth without quarter turns. */
uint32_t nmk_builds_append(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root);
/* The same, but of each lot only the first keep[lot] pieces met; keep[] is counted down. NMK_BUILD_NONE if none is. */
uint32_t nmk_builds_append_some(struct nmk_builds *to, const struct nmk_builds *from, uint32_t root, int64_t *keep);
/* Counts the pieces of each lot: added to counts[]. */
void nmk_builds_count(const struct nmk_builds *builds, uint32_t root, int64_t *counts);

#endif
