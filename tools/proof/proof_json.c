#include "proof/proof_text.h"

#include "ground/store.h"

static const char *const verdicts[] = {"right", "wrong", "foreign", "unsure", "elsewhere"};
static const char *const reasons[] = {[REASON_UNREADABLE] = "unreadable",
                                      [REASON_UNIT] = "unit",
                                      [REASON_DIGITS] = "digits",
                                      [REASON_OTHER_EDITION] = "other edition",
                                      [REASON_ROUNDED] = "rounded",
                                      [REASON_OTHER_EDGE] = "other edge",
                                      [REASON_OTHER_PLACE] = "other place",
                                      [REASON_DIFFERENCE] = "difference",
                                      [REASON_SUM] = "sum",
                                      [REASON_MARKS] = "marks",
                                      [REASON_OFF_MARK] = "off mark"};

static void put_subject(struct json *j, const struct nmk_design *design, size_t subject)
{
    size_t pieces = nmk_design_piece_count(design), openings = nmk_design_opening_count(design);
    const char *keys[] = {"piece", "opening", "measure"};
    if (subject == NMK_NONE) {
        json_null(j, keys[0]);
        return;
    }
    if (subject < pieces)
        json_text(j, keys[0], nmk_design_piece(design, subject)->name);
    else if (subject < pieces + openings)
        json_text(j, keys[1], nmk_design_opening(design, subject - pieces)->name);
    else
        json_text(j, keys[2], nmk_design_measure(design, subject - pieces - openings)->name);
}

/* May it be at, or from, either edge? */
static bool has_edge(enum entry_kind kind)
{
    return entry_is_line(kind) || kind == ENTRY_GLUE || kind == ENTRY_REST || kind == ENTRY_SNIP;
}

static void put_edge(struct json *j, enum entry_kind kind, int way, int edge)
{
    bool has_way =
        way >= 0 && (has_edge(kind) || kind == ENTRY_CUT || kind == ENTRY_PUNCH || kind == ENTRY_END || kind == ENTRY_ANY);
    json_text(j, "direction", !has_way ? NULL : way == NMK_ACROSS ? "across" : "down");
    json_text(j, "from", edge < 0 || !has_edge(kind) ? NULL : edge ? "last" : "first");
}

static void put_reason(struct json *j, const struct proof *p, const struct finding *f)
{
    json_text(j, "reason", f->reason ? reasons[f->reason] : NULL);
    if (f->reason == REASON_MARKS)
        json_whole(j, "marks_off", f->marks);
    if (f->reason == REASON_OTHER_EDITION)
        json_text(j, "of_edition", entry_edition(&p->editions[f->other].list));
    if (f->reason == REASON_OTHER_PLACE) {
        struct sink words = {0};
        const struct entry_list *list = &p->editions[f->edition].list;
        entry_what(&words, list->design, &list->entries[f->other]);
        json_text(j, "of_place", words.data);
        sink_drop(&words);
    }
}

static void put_figure(struct json *j, const struct proof *p, size_t claim)
{
    const struct claim *c = &p->claims.claims[claim];
    const struct finding *f = &p->findings[claim];
    char *belongs = f->verdict == VERDICT_WRONG ? proof_belongs(p, claim) : NULL;
    bool known = f->edition != NMK_NONE && f->edition < p->count;
    json_object(j, NULL);
    json_count(j, "line", c->line);
    json_text(j, "written", c->written);
    json_rat(j, c->kind == ENTRY_COPIES ? "count" : "mm", c->unreadable ? NULL : &c->mm);
    json_text(j, "verdict", verdicts[f->verdict]);
    json_text(j, "edition", known ? entry_edition(&p->editions[f->edition].list) : NULL);
    put_subject(j, p->editions[0].list.design, c->subject);
    json_text(j, "kind", entry_kind_name(c->kind));
    const struct entry *e = known && f->entry != NMK_NONE ? &p->editions[f->edition].list.entries[f->entry] : NULL;
    put_edge(j, c->kind, e ? (int)e->way : c->way, c->edge < 0 && e ? (int)e->last : c->edge);
    json_text(j, "belongs", belongs);
    put_reason(j, p, f);
    json_close(j);
    store_free(belongs);
}

static void put_missing(struct json *j, const struct proof *p, size_t edition)
{
    const struct entry_list *list = &p->editions[edition].list;
    json_list(j, "missing_figures");
    for (size_t i = 0; i < list->count; i++) {
        if (!proof_is_missing(p, edition, i))
            continue;
        const struct entry *e = &list->entries[i];
        char *figure = entry_figure(list, e);
        json_object(j, NULL);
        put_subject(j, list->design, e->subject);
        json_text(j, "kind", entry_kind_name(e->kind));
        put_edge(j, e->kind, (int)e->way, (int)e->last);
        json_text(j, "belongs", figure);
        json_close(j);
        store_free(figure);
    }
    json_close(j);
}

static void put_edition(struct json *j, const struct proof *p, size_t edition)
{
    const struct proof_edition *e = &p->editions[edition];
    json_object(j, NULL);
    json_text(j, "edition", entry_edition(&e->list));
    json_text(j, "held_against", nmk_settled_holds_together(e->list.settled) ? "settled" : "rounded");
    json_truth(j, "spoken_of", e->spoken_of);
    json_truth(j, "named", !e->by_fit);
    json_count(j, "right", e->right);
    json_count(j, "wrong", e->wrong);
    json_count(j, "missing", e->missing);
    put_missing(j, p, edition);
    json_close(j);
}

void proof_json(struct json *j, const struct proof *p)
{
    json_object(j, NULL);
    json_text(j, "design", nmk_design_title(p->editions[0].list.design));
    json_list(j, "editions");
    for (size_t i = 0; i < p->count; i++)
        put_edition(j, p, i);
    json_close(j);
    json_list(j, "figures");
    for (size_t i = 0; i < p->claims.count; i++)
        put_figure(j, p, i);
    json_close(j);
    json_count(j, "unsure", p->unsure);
    json_count(j, "passed_over", p->claims.passed_over);
    json_close(j);
}
