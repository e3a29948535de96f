#include "calc/answer.h"

#include <stdio.h>
#include <string.h>

#include "calc/expression.h"
#include "calc/near_marks.h"
#include "ground/figure.h"
#include "ground/letters.h"
#include "ground/message.h"
#include "ground/store.h"

enum { GRIDS = 2, FIGURE_PLACES = 9 };

struct answer {
    const char *sum; /* as typed, plain */
    const struct quantity *value;
    struct nmk_rat settled; /* mm, or the number */
    enum nmk_unit unit;     /* asked for; NMK_UNIT_NONE: mm and in */
    size_t grid_count;
    struct near_marks grids[GRIDS];
};

/* ---- what cannot be answered ---- */

static void say_complaint(const char *sum, size_t size, const struct complaint *wrong)
{
    uint32_t column = 1, length = 0;
    for (size_t at = 0; at < wrong->at + wrong->size && at < size; at += letter_get(sum, size, at).bytes)
        at < wrong->at ? column++ : length++;
    char *source = letters_plain(sum, size), *message = letters_plain(wrong->message, strlen(wrong->message));
    struct nmk_diagnostic d = {.code = wrong->code, .span = {1, column, length ? length : 1}, .message = message,
                               .hint = *wrong->hint ? (char *)wrong->hint : NULL, .source = wrong->size ? source : NULL};
    message_diagnostic(NULL, &d);
    store_free(message);
    store_free(source);
}

static void say_doubts(const char *sum, const struct expression *e)
{
    for (size_t i = 0; i < e->doubt_count; i++) {
        char *written = store_copy(sum + e->doubts[i].at, e->doubts[i].size);
        message_error("%s is read as %s", written + strspn(written, " "), e->doubts[i].meant);
        store_free(written);
    }
}

/* Neither a number nor a length: there is nothing to set a trimmer to. */
static bool is_answerable(const struct expression *e)
{
    if (e->value.power == 0 || e->value.power == 1)
        return true;
    struct nmk_rat value = {0};
    quantity_settle(&value, &e->value);
    char *figure = figure_near(&value, FIGURE_PLACES);
    if (e->value.power == 2)
        message_error("A length times a length is an area, %s mm²; a trimmer is set to a length", figure);
    else
        message_error("The answer is %s mm to the power %d; a trimmer is set to a length", figure, e->value.power);
    store_free(figure);
    nmk_rat_clear(&value);
    return false;
}

/* ---- on the screen ---- */

static void show_value(struct sink *out, const struct answer *a, enum nmk_unit unit)
{
    struct nmk_rat in_unit = {0}, mm = {0};
    nmk_unit_mm(&mm, unit);
    nmk_rat_div(&in_unit, &a->settled, &mm);
    char *near = figure_near(&in_unit, FIGURE_PLACES), *exact = figure_exact(&in_unit);
    char *mixed = figure_length(&a->settled, unit);
    bool is_exact = nmk_enclosure_is_exact(&a->value->value), fraction = nmk_unit_is_inch(unit) && strchr(mixed, '/');
    sink_string(out, is_exact ? "  " : "  about ");
    if (fraction)
        sink_format(out, "%s = ", mixed);
    sink_format(out, "%s %s", near, nmk_unit_name(unit));
    if (is_exact && strchr(exact, '/'))
        sink_format(out, ", exactly %s %s", exact, nmk_unit_name(unit));
    sink_string(out, "\n");
    store_free(near);
    store_free(exact);
    store_free(mixed);
    nmk_rat_clear(&in_unit);
    nmk_rat_clear(&mm);
}

static void show_number(struct sink *out, const struct answer *a, bool asks)
{
    char *near = figure_near(&a->settled, FIGURE_PLACES), *exact = figure_exact(&a->settled);
    bool is_exact = nmk_enclosure_is_exact(&a->value->value);
    sink_format(out, "  %s%s", is_exact ? "" : "about ", near);
    if (is_exact && strchr(exact, '/'))
        sink_format(out, ", exactly %s", exact);
    sink_string(out, asks ? "\n  Of what? Type mm, cm or in.\n" : "\n  A number. For a length, type its unit: mm, cm or in.\n");
    store_free(near);
    store_free(exact);
}

static void show_length(struct sink *out, const struct answer *a)
{
    if (a->unit != NMK_UNIT_NONE)
        show_value(out, a, a->unit);
    if (a->unit != NMK_MM)
        show_value(out, a, NMK_MM);
    if (a->unit != NMK_IN)
        show_value(out, a, NMK_IN);
    for (size_t i = 0; i < a->grid_count; i++)
        near_marks_show(out, &a->grids[i]);
}

/* ---- as JSON ---- */

static void put_inches(struct json *j, const struct nmk_rat *mm)
{
    struct nmk_rat inch = {0}, inches = {0};
    nmk_unit_mm(&inch, NMK_IN);
    nmk_rat_div(&inches, mm, &inch);
    json_rat(j, "in", &inches);
    nmk_rat_clear(&inch);
    nmk_rat_clear(&inches);
}

static void put_json(struct sink *out, const struct answer *a)
{
    bool is_length = a->value->power == 1;
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    json_object(&j, NULL);
    json_text(&j, "sum", a->sum);
    json_text(&j, "kind", is_length ? "length" : "number");
    json_rat(&j, is_length ? "mm" : "value", &a->settled);
    if (is_length)
        put_inches(&j, &a->settled);
    if (!nmk_enclosure_is_exact(&a->value->value)) {
        json_truth(&j, "enclosed", true);
        json_rat(&j, "low", &a->value->value.low);
        json_rat(&j, "high", &a->value->value.high);
    }
    json_list(&j, "marks");
    for (size_t i = 0; i < a->grid_count; i++)
        near_marks_json(&j, &a->grids[i]);
    json_end(&j);
}

/* ---- the whole ---- */

static bool add_grid(struct answer *a, const struct nmk_rat *step, enum nmk_unit unit)
{
    return near_marks_find(&a->grids[a->grid_count++], step, unit, &a->settled);
}

/* The marks: those asked for in the sum, those of --marks, or sixteenths and millimetres. */
static bool add_grids(struct answer *a, const struct expression *e, const struct answer_options *options)
{
    if (a->value->power != 1)
        return true;
    if (nmk_rat_sign(&e->step) > 0)
        return add_grid(a, &e->step, NMK_IN);
    if (options->has_marks)
        return add_grid(a, &options->step, options->step_unit);
    struct nmk_rat sixteenth = {0}, millimetre = {0};
    nmk_rat_set_frac(&sixteenth, 127, 80);
    nmk_rat_set_int(&millimetre, 1);
    bool good = add_grid(a, &sixteenth, NMK_IN) && add_grid(a, &millimetre, NMK_MM);
    nmk_rat_clear(&sixteenth);
    nmk_rat_clear(&millimetre);
    return good;
}

static bool give_answer(struct sink *out, const char *sum, const struct expression *e, const struct answer_options *options)
{
    struct answer a = {.sum = sum, .value = &e->value, .unit = e->unit};
    quantity_settle(&a.settled, &e->value);
    bool good = add_grids(&a, e, options);
    if (good && options->kept) {
        nmk_enclosure_set(&options->kept->value.value, &e->value.value);
        options->kept->value.power = e->value.power;
        options->kept->lacks_unit = !e->value.power && !e->has_length;
    }
    if (!good)
        message_error("The length is too large for any trimmer: its marks cannot be counted");
    else if (options->json)
        put_json(out, &a);
    else if (a.value->power == 1)
        show_length(out, &a);
    else
        show_number(out, &a, options->kept && !e->has_length);
    for (size_t i = 0; i < a.grid_count; i++)
        near_marks_clear(&a.grids[i]);
    nmk_rat_clear(&a.settled);
    return good;
}

bool answer_sum(struct sink *out, const char *text, size_t size, const struct answer_options *options)
{
    struct expression e = {.unit = NMK_UNIT_NONE};
    struct complaint wrong;
    if (!expression_read(&e, text, size, options->names, &wrong)) {
        say_complaint(text, size, &wrong);
        return false;
    }
    say_doubts(text, &e);
    char *sum = letters_plain(text, size);
    bool good = is_answerable(&e) && give_answer(out, sum, &e, options);
    store_free(sum);
    expression_clear(&e);
    return good;
}
