/* phrase.h -- what people type in passing, turned into a sum: `what is 74mm?`, `half of 9 1/4 in`, `3 and 5/16 inches`,
 * `74 mm to inches`, `+ 3 mm` behind the last result. What is a sum already stays as it is. */
#ifndef TOOLS_DESK_PHRASE_H
#define TOOLS_DESK_PHRASE_H

/* The caller's (store_free). */
char *phrase_sum(const char *text);
/* `10 x 15 cm`: two sizes. Both are the caller's (store_free). 0: it is no such pair. */
int phrase_pair(const char *text, char **first, char **second);

#endif
