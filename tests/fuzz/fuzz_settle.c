/* Any text as a design, drawn up for each edition, settled, asked for its conflict, its rule card and its chart, within a
 * budget of steps: no harm, and settling twice gives the same marks. */
#include <assert.h>
#include <stdbool.h>

#include "nearmark/chart.h"
#include "nearmark/rules.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { MOST_STEPS = 3000, MOST_SIZE = 4000 };

static void check_status(enum nmk_status status)
{
    assert(status == NMK_OK || status == NMK_INVALID || status == NMK_TOO_LARGE || status == NMK_BUDGET ||
           status == NMK_OVERFLOW);
}

static void check_views(const struct nmk_settled *s, const struct nmk_design *design)
{
    for (size_t i = 0; i < nmk_design_demand_count(design); i++)
        for (int column = NMK_DESIGNED; column <= NMK_SETTLED; column++) {
            const struct nmk_view *v = nmk_settled_view(s, i, (enum nmk_column)column);
            assert(v || (column == NMK_SETTLED && !nmk_settled_holds_together(s)));
            if (!v)
                continue;
            assert(nmk_rat_cmp(&v->least, &v->nominal) <= 0 && nmk_rat_cmp(&v->nominal, &v->most) <= 0);
            assert(nmk_rat_sign(&v->chance) >= 0 && nmk_rat_cmp_int(&v->chance, 1) <= 0);
            nmk_settled_contribution_count(s, i, (enum nmk_column)column);
        }
}

static void check_marks(const struct nmk_settled *s, const struct nmk_draft *draft, const struct nmk_settle_options *options)
{
    const struct nmk_design *design = nmk_draft_design(draft);
    struct nmk_settled *again;
    if (nmk_settle(&again, draft, options, NULL) != NMK_OK)
        assert(false);
    assert(nmk_settled_holds_together(again) == nmk_settled_holds_together(s));
    for (size_t i = 0; i < nmk_design_length_count(design) && nmk_settled_holds_together(s); i++) {
        if (!nmk_draft_designed(draft, i)) {
            assert(nmk_settled_choice(s, i) >= 1 && nmk_settled_choice(s, i) == nmk_settled_choice(again, i));
            continue;
        }
        assert(nmk_settled_marks(s, i) >= 1 && nmk_settled_marks(s, i) == nmk_settled_marks(again, i));
    }
    nmk_settled_free(again);
}

static void try_settle(const struct nmk_draft *draft, const struct nmk_settle_options *options)
{
    struct nmk_settled *s = NULL, *next = NULL;
    struct nmk_conflict *conflict = NULL;
    enum nmk_status status = nmk_settle(&s, draft, options, NULL);
    check_status(status);
    if (status != NMK_OK)
        return;
    check_views(s, nmk_draft_design(draft));
    check_marks(s, draft, options);
    check_status(nmk_conflict_new(&conflict, s));
    check_status(nmk_settle_next(&next, s, 0, NULL));
    nmk_settled_free(next);
    nmk_conflict_free(conflict);
    nmk_settled_free(s);
}

static void try_edition(const struct nmk_design *design, size_t edition)
{
    struct nmk_settle_options options;
    struct nmk_draft *draft;
    struct nmk_rules *rules = NULL;
    struct nmk_chart *chart;
    struct nmk_chart_row row;
    nmk_settle_options_init(&options);
    options.most_steps = MOST_STEPS;
    options.prefer = edition % 2 ? NMK_EASIEST : NMK_CLOSEST;
    if (nmk_draft_new(&draft, design, edition, NULL, NMK_MM, NULL) == NMK_OK) {
        try_settle(draft, &options);
        check_status(nmk_rules_new(&rules, draft, &options, NULL));
        nmk_rules_free(rules);
        nmk_draft_free(draft);
    }
    assert(nmk_chart_new(&chart, design, edition, NULL, NMK_MM, &options) == NMK_OK);
    check_status(nmk_chart_settle(&row, chart, NULL));
    nmk_chart_free(chart);
    nmk_settle_options_clear(&options);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct nmk_diagnostics *list;
    struct nmk_design *design = NULL;
    if (size > MOST_SIZE)
        return 0;
    nmk_diagnostics_new(&list, 20);
    if (nmk_design_read(&design, (const char *)data, size, list) == NMK_OK)
        for (size_t i = 0; i < nmk_design_edition_count(design); i++)
            try_edition(design, i);
    nmk_design_free(design);
    nmk_diagnostics_free(list);
    return 0;
}
