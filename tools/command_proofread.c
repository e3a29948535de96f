/* command_proofread.c -- proofread: a written measurement list held against the design. */
#include "commands.h"

#include <string.h>

#include "editions.h"
#include "ground/message.h"
#include "ground/store.h"
#include "judgement.h"
#include "load.h"
#include "proof/proof_text.h"

enum { MOST_BYTES = 1024 * 1024 };

static void init(struct proof *out, const struct judgement *j, const struct call *call, const char *text, size_t size)
{
    const struct nmk_settled **settled = store_new(j->count, sizeof *settled);
    size_t *editions = store_new(j->count, sizeof *editions);
    for (size_t i = 0; i < j->count; i++) {
        const struct nmk_draft *draft = nmk_settled_draft(j->editions[i].settled);
        settled[i] = j->editions[i].settled;
        editions[i] = nmk_design_find_edition(nmk_draft_design(draft), nmk_draft_edition(draft)->name);
    }
    proof_init(out, settled, editions, j->count, call->edition != NULL, text, size);
    store_free(settled);
    store_free(editions);
}

/* An edition that the text does not speak of is no matter here. */
static enum ending ending_of(const struct proof *p)
{
    bool any = false, bad = p->wrong > 0;
    for (size_t i = 0; i < p->count; i++) {
        any = any || p->editions[i].spoken_of;
        bad = bad || p->editions[i].missing;
        if (!p->editions[i].spoken_of || nmk_settled_holds_together(p->editions[i].list.settled))
            continue;
        message_error("in the edition %s nothing meets every demand", entry_edition(&p->editions[i].list));
        bad = true;
    }
    return bad || !any ? ENDING_UNMET : ENDING_DONE;
}

static enum ending proofread(const struct judgement *j, const struct call *call, struct sink *out, const char *text,
                             size_t size)
{
    struct proof proof;
    init(&proof, j, call, text, size);
    if (call->given[OPTION_JSON]) {
        struct json json;
        json_begin(&json, out, JSON_INDENTED);
        proof_json(&json, &proof);
        json_end(&json);
    } else
        proof_text_show(out, &proof, text, size);
    enum ending ending = sink_flush(out) ? ending_of(&proof) : ENDING_DONE; /* messages come behind the result */
    proof_clear(&proof);
    return ending;
}

/* The list; NULL: as *ending says, the message was given. */
static char *load_list(const struct call *call, size_t *size, enum ending *ending)
{
    if (!strcmp(call->words[0], "-") && !strcmp(call->words[1], "-")) {
        message_error("the design and the list cannot both come from standard input");
        *ending = ENDING_WRONG;
        return NULL;
    }
    char *text = load_file(call->words[1], size, ending);
    if (text && *size <= MOST_BYTES)
        return text;
    if (text)
        message_error("%s has more than 1 MiB", call->words[1]);
    *ending = text ? ENDING_WRONG : *ending;
    store_free(text);
    return NULL;
}

enum ending command_proofread(const struct call *call, struct sink *out)
{
    enum ending ending;
    struct judgement j = {0};
    size_t size;
    char *text = load_list(call, &size, &ending);
    struct nmk_design *design = text ? load_design(call->words[0], call, &ending) : NULL;
    if (design) {
        ending = judge_design(&j, design, call->words[0], call);
        if (!ending)
            ending = proofread(&j, call, out, text, size);
    }
    judgement_clear(&j);
    nmk_design_free(design);
    store_free(text);
    return ending;
}
