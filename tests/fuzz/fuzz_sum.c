/* Any bytes as a sum: it is worked out or refused with a message in its place, and what is worked out is a true enclosure. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "calc/expression.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(bool right)
{
    if (!right)
        abort();
}

static void check_refused(const struct complaint *wrong, size_t size)
{
    demand(wrong->code && *wrong->code && *wrong->message);
    demand(wrong->at <= size && wrong->size <= size - wrong->at + 1);
    demand(memchr(wrong->message, '\0', sizeof wrong->message) && memchr(wrong->hint, '\0', sizeof wrong->hint));
}

static void check_read(const struct expression *e, const char *text, size_t size)
{
    struct nmk_rat value = {0};
    struct expression again = {.unit = NMK_UNIT_NONE};
    struct complaint wrong;
    demand(nmk_rat_cmp(&e->value.value.low, &e->value.value.high) <= 0);
    demand(e->doubt_count <= EXPRESSION_DOUBTS);
    for (size_t i = 0; i < e->doubt_count; i++)
        demand(e->doubts[i].at + e->doubts[i].size <= size);
    quantity_settle(&value, &e->value);
    demand(!nmk_enclosure_is_exact(&e->value.value) || nmk_rat_equal(&value, &e->value.value.low));
    demand(expression_read(&again, text, size, NULL, &wrong) && nmk_rat_equal(&again.value.value.low, &e->value.value.low));
    expression_clear(&again);
    nmk_rat_clear(&value);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct expression e = {.unit = NMK_UNIT_NONE};
    struct complaint wrong = {.code = NULL};
    const char *text = (const char *)data;
    if (expression_read(&e, text, size, NULL, &wrong))
        check_read(&e, text, size);
    else
        check_refused(&wrong, size);
    expression_clear(&e);
    return 0;
}
