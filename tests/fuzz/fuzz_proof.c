/* Any bytes as a written list: it is read and held against a design, and every finding is about a figure of the list. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "nearmark.h"
#include "proof/proof_text.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char design_text[] =
    "design \"Tin 2\"\nmeasure wide \"width of your tin\" 86 mm\nstock card \"plain card\" thickness 0.3 mm\n"
    "piece sleeve \"Tea sleeve\" 2 of card\n  across face = wide | side = 20 mm | face | tab = 12 mm glue\n  down high = 30 mm\n"
    "piece lid \"Lid 2\" of card\n  across rim = 10 mm | top = 50 mm | rim\n  down rim | top | rim\n  score from both edges\n"
    "  corners snipped down, tapered 2 mm\npunches oval 30 x 20 mm\nopening hole from oval through lid on lid.top x lid.top\n"
    "mat label of card on lid.top x lid.top smaller by 5 mm\n"
    "edition metric unit mm marks 1 mm\nedition imperial unit in marks 1/16 in\nedition fine unit in marks 1/32 in\n";
static const char rows_text[] =
    "design \"Carton\"\nstock card thickness 0.3 mm\npiece carton \"Carton\" of card\n  down top = 20 mm | wall = 50 mm | bottom = 25 mm\n"
    "  across face = 40 mm | side = 30 mm | face | side | tab = 12 mm glue beside wall\n"
    "  across face || side || face | side | rest beside top\n  across rest | flap = 60 mm | rest beside bottom\n"
    "  score from both edges\n  say \"Score the 40 mm first.\"\n"
    "piece envelope 2 of card\n  across tab = 10 mm glue | body = 60 mm | tab glue beside front\n  across rest | body | rest beside flap, back\n"
    "  down flap = 30 mm | front = 50 mm | back = 40 mm\npunches oval 30 x 20 mm\nopening hole from oval through envelope on envelope.body x envelope.front\n"
    "edition metric unit mm marks 1 mm scores 2 mm\nedition twelfths unit in marks 1/12 in\nedition centi unit cm marks 0.5 mm\n";
enum { EDITIONS = 3 };

static void demand(bool right)
{
    if (!right)
        abort();
}

static void check(const struct proof *p, const char *text, size_t size)
{
    struct sink out = {0};
    struct json json;
    size_t lines = 1;
    for (size_t i = 0; i < size; i++)
        lines += text[i] == '\n';
    for (size_t i = 0; i < p->claims.count; i++) {
        const struct finding *f = &p->findings[i];
        demand(p->claims.claims[i].line >= 1 && p->claims.claims[i].line <= lines);
        demand(f->edition == NMK_NONE || f->edition < p->count);
        demand(f->verdict != VERDICT_RIGHT || (f->edition < p->count && f->entry < p->editions[f->edition].list.count));
    }
    proof_text_show(&out, p, text, size);
    json_begin(&json, &out, JSON_LINE);
    proof_json(&json, p);
    json_end(&json);
    sink_drop(&out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct nmk_diagnostics *list = NULL;
    struct nmk_design *design = NULL;
    struct nmk_draft *drafts[EDITIONS] = {NULL};
    struct nmk_settled *settled[EDITIONS] = {NULL};
    const struct nmk_settled *borrowed[EDITIONS];
    size_t editions[EDITIONS] = {0, 1, 2};
    struct nmk_settle_options options;
    struct proof proof;
    nmk_settle_options_init(&options);
    bool rows = size && data[0] & 8;
    demand(!nmk_diagnostics_new(&list, 0) && !nmk_design_read(&design, rows ? rows_text : design_text,
                                                              rows ? sizeof rows_text - 1 : sizeof design_text - 1, list));
    for (size_t i = 0; i < EDITIONS; i++) {
        demand(!nmk_draft_new(&drafts[i], design, i, NULL, NMK_UNIT_NONE, list) &&
               !nmk_settle(&settled[i], drafts[i], &options, list));
        borrowed[i] = settled[i];
    }
    bool asked = size && data[0] % 2;
    proof_init(&proof, borrowed, editions, asked ? 1 : EDITIONS, asked, (const char *)data, size);
    check(&proof, (const char *)data, size);
    proof_clear(&proof);
    for (size_t i = 0; i < EDITIONS; i++) {
        nmk_settled_free(settled[i]);
        nmk_draft_free(drafts[i]);
    }
    nmk_settle_options_clear(&options);
    nmk_design_free(design);
    nmk_diagnostics_free(list);
    return 0;
}
