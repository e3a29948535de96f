/* figure.h -- figures as the screen and the JSON show them. All texts are the caller's (store_free). */
#ifndef TOOLS_GROUND_FIGURE_H
#define TOOLS_GROUND_FIGURE_H

#include "nearmark/length.h"

__attribute__((returns_nonnull)) char *figure_rat(const struct nmk_rat *r); /* "127/80" */
/* The decimal if it ends within 30 places, else the fraction: "3.175", "1/3". */
__attribute__((returns_nonnull)) char *figure_exact(const struct nmk_rat *r);
/* At most `places` decimals, no trailing zeros; rounded down or up where it has more. */
__attribute__((returns_nonnull)) char *figure_down(const struct nmk_rat *r, unsigned places);
__attribute__((returns_nonnull)) char *figure_up(const struct nmk_rat *r, unsigned places);
__attribute__((returns_nonnull)) char *figure_near(const struct nmk_rat *r, unsigned places);
/* Near, with a "+" before a positive one. */
__attribute__((returns_nonnull)) char *figure_signed(const struct nmk_rat *r, unsigned places);
/* With its unit: "4 7/16 in", "8.4 cm". */
__attribute__((returns_nonnull)) char *figure_length(const struct nmk_rat *mm, enum nmk_unit unit);
__attribute__((returns_nonnull)) char *figure_bare(const struct nmk_rat *mm, enum nmk_unit unit); /* "4 7/16" */
/* "always", or a percentage rounded down to a tenth, "99.9 %". */
__attribute__((returns_nonnull)) char *figure_chance(const struct nmk_rat *chance);

#endif
