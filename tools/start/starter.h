/* starter.h -- short commented designs to begin with, one a kind, with places for the person's own sizes. */
#ifndef TOOLS_START_STARTER_H
#define TOOLS_START_STARTER_H

#include "ground/sink.h"

enum { STARTER_QUESTIONS = 4 };

struct starter_question {
    const char *measure; /* NULL: no further question */
    const char *usual;   /* its size where none is given, "86 mm" */
    const char *ask;     /* "How wide is your tin?" */
    const char *how;     /* how it is measured */
};

struct starter {
    const char *kind;    /* "sleeve" */
    const char *purpose;
    const char *text;    /* a design; {wide} stands for the size of the measure wide */
    struct starter_question questions[STARTER_QUESTIONS];
};

extern const struct starter starter_table[]; /* ends with a NULL kind */

const struct starter *starter_find(const char *kind); /* NULL: none */
/* Which question asks for that measure; STARTER_QUESTIONS: none. */
size_t starter_question(const struct starter *starter, const char *measure, size_t size);
/* The design. sizes[i]: how the answer to question i is written; NULL: the usual one. */
void starter_write(struct sink *out, const struct starter *starter, const char *const sizes[]);

#endif
