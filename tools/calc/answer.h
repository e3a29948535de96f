/* answer.h -- what `calc` and the desk answer to one sum. */
#ifndef TOOLS_CALC_ANSWER_H
#define TOOLS_CALC_ANSWER_H

#include "calc/expression.h"
#include "ground/sink.h"
#include "nearmark/length.h"

struct answer_kept { /* of the sum answered last */
    struct quantity value;
    bool lacks_unit; /* a number, and no length stood in the sum: which unit was asked */
};

struct answer_options {
    bool json;
    bool has_marks; /* step in place of 1/16 in and 1 mm */
    struct nmk_rat step;
    enum nmk_unit step_unit;
    const struct expression_names *names; /* NULL: none */
    struct answer_kept *kept;             /* filled where answered; NULL: not wanted */
};

/* Works out the sum and writes the answer. false: it cannot be worked out; the message was given, nothing written. */
bool answer_sum(struct sink *out, const char *text, size_t size, const struct answer_options *options);

#endif
