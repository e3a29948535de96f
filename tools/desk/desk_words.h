/* desk_words.h -- what can be typed at the desk. */
#ifndef TOOLS_DESK_DESK_WORDS_H
#define TOOLS_DESK_DESK_WORDS_H

#include "calc/answer.h"
#include "desk/completion.h"
#include "desk/worktop.h"

struct desk {
    struct sink *out;
    struct worktop top;
    struct answer_kept last;
    bool has_last;
    char *asked; /* a number whose unit was asked for; NULL: none was */
    bool left;
    enum ending ending; /* the worst so far */
};

/* Answers one line. */
void desk_answer(struct desk *d, const char *line);
void desk_clear(struct desk *d);
struct completion_words desk_completion(struct desk *d);

#endif
