#include "report/sofar_text.h"

#include <inttypes.h>

#include "ground/figure.h"
#include "ground/message.h"
#include "ground/store.h"
#include "nearmark/sofar.h"
#include "report/edition_text.h"

enum { STEPS = 500000 }; /* for each of a handful of searches */

static void say_marks(const struct nmk_sofar *s)
{
    char *weakest = figure_chance(&s->weakest), *off = figure_near(&s->deviation, 2);
    bool sure = nmk_rat_cmp_int(&s->weakest, 1) >= 0;
    message_more("marks are known that meet every demand, %s%s%s; %zu lengths moved, %s mm off in all",
                 sure ? "all of them sure" : "the weakest of them in ", sure ? "" : weakest, sure ? "" : " of all cases",
                 s->moved, off);
    message_more("that there are no better ones is not proven");
    store_free(weakest);
    store_free(off);
}

static void say_bound(const struct nmk_sofar *s)
{
    char *most = figure_chance(&s->at_most);
    if (nmk_rat_cmp_int(&s->at_most, 1) < 0)
        message_more("proven: no marks make the weakest demand surer than %s", most);
    store_free(most);
}

void sofar_text_say(const struct nmk_draft *draft, const struct nmk_settle_options *options, uint64_t steps)
{
    struct nmk_sofar s = {0};
    message_error("the edition %s is not settled after %" PRIu64 " thousand steps; nothing is written. Known so far:",
                  nmk_draft_edition(draft)->name, steps / 1000);
    enum nmk_status status = nmk_sofar_find(&s, draft, options, STEPS);
    if (status)
        message_more("nothing yet");
    else if (!s.decided)
        message_more("no marks yet that meet every demand, nor that there are none");
    else if (!s.feasible)
        message_more("proven: no marks meet every demand; which are in conflict is not known");
    else
        say_marks(&s);
    if (!status)
        say_bound(&s);
    nmk_sofar_clear(&s);
}
