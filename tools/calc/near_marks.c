#include "calc/near_marks.h"

#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/store.h"
#include "nearmark/marks.h"

static const char *const place_names[NEAR_COUNT] = {"below", "nearest", "above"};

enum { MARK_COLUMN = 14, PLACE_COLUMN = 11, ERROR_PLACES = 4 };

static bool find_numbers(struct near_marks *out, const struct nmk_marks *marks, const struct nmk_rat *mm)
{
    return !nmk_marks_below(&out->number[NEAR_BELOW], marks, mm) &&
           !nmk_marks_nearest(&out->number[NEAR_NEAREST], marks, mm, NMK_TIE_LARGER) &&
           !nmk_marks_above(&out->number[NEAR_ABOVE], marks, mm);
}

bool near_marks_find(struct near_marks *out, const struct nmk_rat *step, enum nmk_unit unit, const struct nmk_rat *mm)
{
    *out = (struct near_marks){.unit = unit};
    nmk_rat_set(&out->step, step);
    struct nmk_marks marks = {.step = out->step};
    if (!find_numbers(out, &marks, mm))
        return false;
    for (int i = 0; i < NEAR_COUNT; i++) {
        nmk_marks_at(&out->mark[i], &marks, out->number[i]);
        nmk_rat_sub(&out->error[i], &out->mark[i], mm);
    }
    return true;
}

void near_marks_clear(struct near_marks *m)
{
    nmk_rat_clear(&m->step);
    for (int i = 0; i < NEAR_COUNT; i++) {
        nmk_rat_clear(&m->mark[i]);
        nmk_rat_clear(&m->error[i]);
    }
    *m = (struct near_marks){0};
}

static void show_place(struct sink *out, const struct near_marks *m, int i, const char *place)
{
    char *mark = figure_length(&m->mark[i], m->unit), *error = figure_signed(&m->error[i], ERROR_PLACES);
    sink_string(out, "  ");
    sink_tint(out, i == NEAR_NEAREST ? TINT_STRONG : TINT_NONE, mark);
    sink_spaces(out, MARK_COLUMN - letters_width(mark));
    sink_string(out, place);
    sink_spaces(out, PLACE_COLUMN - letters_width(place));
    sink_format(out, "%s%s\n", nmk_rat_is_zero(&m->error[i]) ? "exactly" : error, nmk_rat_is_zero(&m->error[i]) ? "" : " mm");
    store_free(mark);
    store_free(error);
}

void near_marks_show(struct sink *out, const struct near_marks *m)
{
    char *step = figure_length(&m->step, m->unit);
    sink_format(out, "\nMarks every %s\n", step);
    store_free(step);
    if (nmk_rat_is_zero(&m->error[NEAR_NEAREST])) {
        show_place(out, m, NEAR_NEAREST, "on a mark");
        return;
    }
    for (int i = 0; i < NEAR_COUNT; i++)
        show_place(out, m, i, place_names[i]);
}

void near_marks_json(struct json *j, const struct near_marks *m)
{
    json_object(j, NULL);
    json_rat(j, "step_mm", &m->step);
    json_text(j, "unit", nmk_unit_name(m->unit));
    for (int i = 0; i < NEAR_COUNT; i++) {
        json_object(j, place_names[i]);
        json_whole(j, "mark", m->number[i]);
        json_rat(j, "mm", &m->mark[i]);
        json_rat(j, "error_mm", &m->error[i]);
        json_close(j);
    }
    json_close(j);
}
