#include "published/figures.h"

#include <stdio.h>
#include <string.h>
/* cmocka wants these first */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "unit/length/reading.h"

struct nmk_rat figures_value(const char *text)
{
    struct nmk_rat value = {0};
    if (nmk_rat_parse(&value, text, strlen(text)))
        fail_msg("%s is no number", text);
    return value;
}

static void round_to(struct nmk_rat *value, const struct nmk_rat *step, enum nmk_tie tie)
{
    struct nmk_marks marks = {.step = *step};
    int64_t k = 0;
    assert_int_equal(nmk_marks_nearest(&k, &marks, value, tie), NMK_OK);
    nmk_marks_at(value, &marks, k);
}

bool figures_round(const char *value, const char *step, enum nmk_tie tie, const char *result)
{
    struct nmk_rat v = figures_value(value), s = figures_value(step), r = figures_value(result);
    round_to(&v, &s, tie);
    bool right = nmk_rat_equal(&v, &r);
    nmk_rat_clear(&v);
    nmk_rat_clear(&s);
    nmk_rat_clear(&r);
    return right;
}

bool figures_mark(const char *length, const char *step, enum nmk_tie tie, const char *result)
{
    struct nmk_rat v = reading_mm(length), s = reading_mm(step), r = reading_mm(result);
    round_to(&v, &s, tie);
    bool right = nmk_rat_equal(&v, &r);
    nmk_rat_clear(&v);
    nmk_rat_clear(&s);
    nmk_rat_clear(&r);
    return right;
}

bool figures_is(const char *length, enum nmk_unit unit, const char *result)
{
    struct nmk_rat mm = reading_mm(length);
    char text[128];
    nmk_length_print_figure(text, sizeof text, &mm, unit, 40, NMK_FRACTION_PLAIN);
    nmk_rat_clear(&mm);
    return strcmp(text, result) == 0;
}

static size_t cut(char *line, char *fields[FIGURES_FIELDS])
{
    size_t count = 0;
    for (char *field = line; field && count < FIGURES_FIELDS; count++) {
        fields[count] = field;
        field = strchr(field, ',');
        if (field)
            *field++ = '\0';
    }
    return count;
}

size_t figures_table(const char *name, void (*row)(char *fields[FIGURES_FIELDS], size_t count))
{
    char path[4096], line[512];
    snprintf(path, sizeof path, "%s/published/data/%s", NEARMARK_TESTS, name);
    FILE *file = fopen(path, "r");
    size_t rows = 0;
    if (!file)
        fail_msg("%s cannot be opened", path);
    assert_non_null(fgets(line, sizeof line, file));
    while (fgets(line, sizeof line, file)) {
        char *fields[FIGURES_FIELDS] = {NULL};
        line[strcspn(line, "\r\n")] = '\0';
        row(fields, cut(line, fields));
        rows++;
    }
    fclose(file);
    return rows;
}
