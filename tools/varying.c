#include "varying.h"

#include <string.h>

#include "ground/message.h"
#include "ground/store.h"

static const char example[] = "for example --vary long=80mm..150mm/5mm";

static size_t skip_spaces(const char *text, size_t size, size_t at)
{
    while (at < size && text[at] == ' ')
        at++;
    return at;
}

/* One length, from *at on. `unit`: of one that is written without; NONE: it must have its own. */
static bool read_one(struct nmk_rat *out, enum nmk_unit *written, const char *text, size_t size, size_t *at, enum nmk_unit unit)
{
    struct nmk_length_read read = {.unit = NMK_UNIT_NONE};
    struct nmk_length_error error = {0};
    bool good = false;
    if (nmk_length_parse(&read, text + *at, size - *at, false, &error))
        message_error("--vary: %s%s%s", error.message, *error.hint ? "; " : "", error.hint);
    else if (read.unit == NMK_UNIT_NONE && unit == NMK_UNIT_NONE)
        message_error("--vary: \"%.*s\" has no unit; %s", (int)read.used, text + *at, example);
    else
        good = true;
    if (good && read.unit == NMK_UNIT_NONE) {
        struct nmk_rat mm = {0};
        nmk_unit_mm(&mm, unit);
        nmk_rat_mul(&read.mm, &read.mm, &mm);
        nmk_rat_clear(&mm);
        read.unit = unit;
    }
    if (good) {
        nmk_rat_swap(out, &read.mm);
        *written = read.unit;
        *at = skip_spaces(text, size, *at + read.used);
    }
    nmk_length_read_clear(&read);
    return good;
}

static bool refuse(const char *value, const char *why)
{
    message_error("--vary: \"%s\" %s; %s", value, why, example);
    return false;
}

/* FROM..TO/STEP; FROM may leave its unit to TO. */
static bool read_range(struct varying *out, const char *value, const char *text, const char *dots)
{
    enum nmk_unit unit = NMK_UNIT_NONE;
    size_t size = strlen(dots + 2), at = skip_spaces(dots + 2, size, 0), first = 0;
    if (!read_one(&out->to, &unit, dots + 2, size, &at, NMK_UNIT_NONE))
        return false;
    if (!read_one(&out->from, &unit, text, (size_t)(dots - text), &first, unit))
        return false;
    out->unit = unit;
    if (text + first != dots)
        return refuse(value, "begins with more than one length");
    if (dots[2 + at] != '/')
        return refuse(value, dots[2 + at] ? "has something else than /STEP after its second length" : "says no step");
    at = skip_spaces(dots + 2, size, at + 1);
    if (!read_one(&out->step, &unit, dots + 2, size, &at, NMK_UNIT_NONE))
        return false;
    return !dots[2 + at] || refuse(value, "goes on after its step");
}

bool varying_read(struct varying *out, const char *value)
{
    const char *equals = strchr(value, '='), *dots = strstr(value, "..");
    if (!equals || equals == value || !dots || dots < equals)
        return refuse(value, "does not say a measure, its first and last size and a step");
    size_t end = (size_t)(equals - value);
    while (end && value[end - 1] == ' ')
        end--;
    out->name = store_copy(value, end);
    if (!read_range(out, value, equals + 1, dots))
        return false;
    if (nmk_rat_sign(&out->step) <= 0)
        return refuse(value, "has a step of zero");
    if (nmk_rat_sign(&out->from) <= 0)
        return refuse(value, "begins at zero");
    if (nmk_rat_cmp(&out->from, &out->to) > 0)
        return refuse(value, "begins at a larger size than it ends");
    return true;
}

void varying_clear(struct varying *v)
{
    store_free(v->name);
    nmk_rat_clear(&v->from);
    nmk_rat_clear(&v->to);
    nmk_rat_clear(&v->step);
    *v = (struct varying){0};
}

int64_t varying_count(const struct varying *v)
{
    struct nmk_rat steps = {0};
    int64_t count = 0;
    nmk_rat_sub(&steps, &v->to, &v->from);
    nmk_rat_div(&steps, &steps, &v->step);
    nmk_rat_floor(&steps, &steps);
    if (nmk_rat_get_int(&count, &steps) != NMK_OK || count == INT64_MAX)
        count = INT64_MAX - 1;
    nmk_rat_clear(&steps);
    return count + 1;
}

void varying_at(struct nmk_rat *mm, const struct varying *v, int64_t k)
{
    struct nmk_rat steps = {0};
    nmk_rat_set_int(&steps, k);
    nmk_rat_mul(&steps, &steps, &v->step);
    nmk_rat_add(mm, &v->from, &steps);
    nmk_rat_clear(&steps);
}
