#include "ground/typed_length.h"

#include <string.h>

#include "ground/figure.h"
#include "ground/sink.h"
#include "ground/store.h"

static bool says(const char *text, const struct nmk_rat *mm)
{
    struct nmk_length_read read = {0};
    bool good = !nmk_length_parse(&read, text, strlen(text), true, NULL) && nmk_rat_equal(&read.mm, mm);
    nmk_length_read_clear(&read);
    return good;
}

/* `2 1/3 in`, where a figure would have to be cut off. */
static char *mixed(const struct nmk_rat *mm, enum nmk_unit unit)
{
    struct nmk_rat one = {0}, size = {0}, whole = {0};
    nmk_unit_mm(&one, unit);
    (void)nmk_rat_div(&size, mm, &one);
    nmk_rat_floor(&whole, &size);
    char *plain = figure_exact(&size), *first = figure_rat(&whole);
    nmk_rat_sub(&size, &size, &whole);
    char *rest = figure_rat(&size);
    struct sink text = {0};
    if (strchr(plain, '/') && nmk_rat_sign(&whole) > 0)
        sink_format(&text, "%s %s %s", first, rest, nmk_unit_name(unit));
    else
        sink_format(&text, "%s %s", plain, nmk_unit_name(unit));
    store_free(plain);
    store_free(first);
    store_free(rest);
    nmk_rat_clear(&one);
    nmk_rat_clear(&size);
    nmk_rat_clear(&whole);
    return text.data;
}

char *typed_length(const struct nmk_rat *mm, enum nmk_unit unit)
{
    char *text = figure_length(mm, unit);
    if (says(text, mm))
        return text;
    store_free(text);
    return mixed(mm, unit);
}
