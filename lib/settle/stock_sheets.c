#include "nearmark/plan.h"

static bool is_same_sheet(const struct nmk_sheet *a, const struct nmk_sheet *b)
{
    return nmk_rat_equal(&a->width, &b->width) && nmk_rat_equal(&a->height, &b->height);
}

size_t nmk_stock_sheets(const struct nmk_sheet **out, const struct nmk_edition *edition, const struct nmk_stock *stock)
{
    for (size_t i = 0; i < edition->sheet_count; i++)
        for (size_t k = 0; k < stock->sheet_count; k++)
            if (is_same_sheet(&edition->sheets[i], &stock->sheets[k])) {
                *out = &edition->sheets[i];
                return 1;
            }
    *out = stock->sheet_count ? stock->sheets : edition->sheets;
    return stock->sheet_count ? stock->sheet_count : edition->sheet_count;
}
