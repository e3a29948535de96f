#include "report/plan/cue_words.h"

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "nearmark/marks.h"
#include "report/edition_text.h"

char *cue_taken(struct sink *s)
{
    char *text = letters_plain(s->data ? s->data : "", s->size);
    sink_drop(s);
    *s = (struct sink){0};
    return text;
}

void cue_add_owned(struct sink *s, char *text)
{
    sink_string(s, text);
    store_free(text);
}

enum nmk_unit cue_other_unit(enum nmk_unit unit)
{
    return nmk_unit_is_inch(unit) ? NMK_CM : NMK_IN;
}

/* In the other unit as one would read it there: to the nearest half millimetre or 1/32 in. */
bool cue_to_other(struct nmk_rat *out, const struct nmk_rat *mm, enum nmk_unit other)
{
    struct nmk_marks marks = {.step = {0}};
    int64_t k = 0;
    nmk_rat_set_frac(&marks.step, other == NMK_CM ? 1 : 127, other == NMK_CM ? 2 : 160);
    bool good = !nmk_marks_nearest(&k, &marks, mm, NMK_TIE_LARGER);
    if (good)
        nmk_marks_at(out, &marks, k);
    nmk_rat_clear(&marks.step);
    return good;
}

static void add_words(struct sink *s, const struct nmk_rat *mm, enum nmk_unit unit)
{
    char text[512];
    nmk_length_say(text, sizeof text, mm, unit);
    bool one = nmk_rat_cmp_int(mm, unit == NMK_CM ? 10 : 1) == 0;
    sink_string(s, text);
    if (unit == NMK_CM)
        sink_string(s, one ? " centimetre" : " centimetres");
    else if (unit == NMK_MM)
        sink_string(s, one ? " millimetre" : " millimetres");
}

/* A length in a sentence: its figure, or in words; in both units where that was asked. */
void cue_add_length(const struct cue_teller *t, struct sink *s, const struct nmk_rat *mm, bool spoken)
{
    enum nmk_unit unit = edition_unit(t->settled), other = cue_other_unit(unit);
    struct nmk_rat near = {0};
    if (spoken)
        add_words(s, mm, unit);
    else
        cue_add_owned(s, edition_size(t->settled, mm));
    if (t->both && cue_to_other(&near, mm, other)) {
        bool about = !nmk_rat_equal(&near, mm);
        sink_string(s, spoken ? ", " : " (");
        sink_string(s, spoken && about ? "about " : "");
        if (spoken) {
            add_words(s, &near, other);
            sink_string(s, other == NMK_IN ? " inches" : "");
        } else {
            cue_add_owned(s, figure_length(&near, other));
            sink_string(s, ")");
        }
    }
    nmk_rat_clear(&near);
}

void cue_add_marks(const struct cue_teller *t, struct sink *s, int64_t marks, bool spoken)
{
    struct nmk_rat mm = {0};
    nmk_rat_set_int(&mm, marks);
    nmk_rat_mul(&mm, &mm, nmk_draft_step(nmk_settled_draft(t->settled)));
    cue_add_length(t, s, &mm, spoken);
    nmk_rat_clear(&mm);
}

const struct nmk_piece *cue_piece(const struct cue_teller *t, const struct nmk_plan_step *step)
{
    return nmk_design_piece(t->design, step->piece);
}

/* The work before step i, what the design itself says aside; NULL: there is none. */
const struct nmk_plan_step *cue_work_before(const struct cue_teller *t, size_t i)
{
    while (i-- > 0)
        if (nmk_plan_step(t->plan, i)->act != NMK_PLAN_SAY)
            return nmk_plan_step(t->plan, i);
    return NULL;
}

char *cue_piece_name(const struct cue_teller *t, const struct nmk_plan_step *step)
{
    struct sink s = {0};
    sink_string(&s, cue_piece(t, step)->label);
    if (step->count == 2)
        sink_string(&s, ", both");
    else if (step->count > 2)
        sink_format(&s, ", each of %lld", (long long)step->count);
    return cue_taken(&s);
}

/* A piece as it is said, `long_strip` in two words, and how many. */
void cue_say_label(const struct cue_teller *t, struct sink *s, const struct nmk_plan_step *step)
{
    const char *label = cue_piece(t, step)->label;
    for (size_t i = 0; label[i]; i++)
        sink_add(s, label[i] == '_' ? " " : label + i, 1);
    sink_string(s, step->count == 2 ? ", both. " : step->count > 2 ? ", all of them. " : ". ");
}
