#include "proof/proof_text.h"

#include "ground/figure.h"
#include "ground/store.h"
#include "report/edition_text.h"

static const char *const fixed[] = {
    [REASON_UNREADABLE] = "it can be read in more than one way, or not at all",
    [REASON_UNIT] = "the number is right, its unit is not",
    [REASON_DIGITS] = "two of its digits have changed places",
    [REASON_ROUNDED] = "rounded by itself; the settled list has another mark",
    [REASON_OTHER_EDGE] = "that is its distance from the other edge",
    [REASON_DIFFERENCE] = "that is the difference of two others that stand there",
    [REASON_SUM] = "that is the sum of two others that stand there",
    [REASON_OFF_MARK] = "the trimmer of this edition has no mark there",
};

static void say_marks(struct sink *out, int64_t marks)
{
    static const char *const counts[] = {"", "one mark", "two marks", "three marks"};
    sink_format(out, "%s too %s", counts[marks < 0 ? -marks : marks], marks < 0 ? "little" : "much");
}

void proof_reason(struct sink *out, const struct proof *p, const struct finding *f)
{
    const struct entry_list *list = f->edition == NMK_NONE ? NULL : &p->editions[f->edition].list;
    switch (f->reason) {
    case REASON_NONE: break;
    case REASON_OTHER_EDITION:
        sink_format(out, "that is the figure of the edition %s", entry_edition(&p->editions[f->other].list));
        break;
    case REASON_OTHER_PLACE:
        sink_string(out, "that is: ");
        entry_what(out, list->design, &list->entries[f->other]);
        break;
    case REASON_MARKS: say_marks(out, f->marks); break;
    default: sink_string(out, fixed[f->reason]); break;
    }
}

/* A hint should lead to what belongs there; the mark it counts from is so many marks away. */
static char *hint_base(const struct entry_list *list, const struct claim *c, const struct nmk_rat *right)
{
    struct nmk_rat base = {0};
    nmk_rat_set_int(&base, -c->hint_marks);
    nmk_rat_mul(&base, &base, &list->step);
    nmk_rat_add(&base, &base, right);
    char *figure = figure_length(&base, list->unit);
    nmk_rat_clear(&base);
    return figure;
}

char *proof_belongs(const struct proof *p, size_t claim)
{
    const struct finding *f = &p->findings[claim];
    const struct claim *c = &p->claims.claims[claim];
    if (f->edition == NMK_NONE || f->entry == NMK_NONE)
        return NULL;
    const struct entry_list *list = &p->editions[f->edition].list;
    const struct entry *e = &list->entries[f->entry];
    const struct claim *about = c->kind == ENTRY_HINT ? &p->claims.claims[c->hint_of] : c;
    bool other = entry_is_line(e->kind) && about->edge >= 0 && about->edge != (int)e->last;
    if (c->kind == ENTRY_HINT)
        return hint_base(list, c, other ? &e->other : &e->mm);
    return other ? figure_length(&e->other, list->unit) : entry_figure(list, e);
}
