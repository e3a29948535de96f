/* Sizes as figures for a drawing. */
#include <stdlib.h>
#include <string.h>

#include "draw/shape.h"
#include "ground/figure.h"
#include "ground/store.h"
#include "report/edition_text.h"

enum { PLACES = 4 };

double size_number(const struct nmk_rat *mm)
{
    char text[64];
    double value = 0, part = 1;
    bool behind = false;
    nmk_rat_print_decimal(text, sizeof text, mm, 9);
    for (const char *p = text; *p; p++) {
        if (*p == '.')
            behind = true;
        else if (*p != '-')
            value = behind ? value + (*p - '0') * (part /= 10) : value * 10 + (*p - '0');
    }
    return *text == '-' ? -value : value;
}

char *size_figure(const struct nmk_settled *settled, const struct nmk_rat *mm)
{
    char text[128];
    size_t size = nmk_length_print_figure(text, sizeof text, mm, edition_unit(settled), PLACES, NMK_FRACTION_SLASH);
    return store_copy(text, size < sizeof text ? size : sizeof text - 1);
}

/* `7/16` with the fraction slash: in a figure of edition_size every slash is one. */
char *size_with_unit(const struct nmk_settled *settled, const struct nmk_rat *mm)
{
    char *plain = edition_size(settled, mm), *slash = strchr(plain, '/');
    if (!slash)
        return plain;
    size_t before = (size_t)(slash - plain), all = strlen(plain);
    char *text = store_new(all + 5, 1);
    memcpy(text, plain, before);
    memcpy(text + before, "\xE2\x81\x84", 3);
    memcpy(text + before + 3, slash + 1, all - before);
    store_free(plain);
    return text;
}
