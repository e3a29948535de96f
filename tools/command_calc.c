/* command_calc.c -- quick arithmetic. */
#include <string.h>

#include "calc/answer.h"
#include "commands.h"

/* The words of the call with spaces between, as one sum. */
static void join(struct sink *text, const struct call *call)
{
    sink_string(text, "");
    for (size_t i = 0; i < call->word_count; i++) {
        sink_string(text, i ? " " : "");
        sink_string(text, call->words[i]);
    }
}

enum ending command_calc(const struct call *call, struct sink *out)
{
    struct answer_options options = {.json = call->given[OPTION_JSON], .has_marks = call->has_marks, .step = call->step,
                                     .step_unit = call->step_unit};
    struct sink text = {0};
    join(&text, call);
    bool good = answer_sum(out, text.data, text.size, &options);
    sink_drop(&text);
    return good ? ENDING_DONE : ENDING_WRONG;
}
