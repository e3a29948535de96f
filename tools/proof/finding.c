#include "proof/finding.h"

#include <stdlib.h>
#include <string.h>

#include "ground/store.h"
#include "report/edition_text.h"

/* The claims of one edition about one subject, from one mention of it to the next. */
struct holding {
    struct proof *proof;
    size_t edition;
    size_t *claims;  /* indices, in the order of the text */
    size_t count;
    bool *here;      /* by entry of this subject: it stands in these claims */
    size_t first, end; /* entries of the subject */
};

static const struct entry_list *list_of(const struct proof *p, size_t edition)
{
    return &p->editions[edition].list;
}

/* ---- may a claim be about an entry? ---- */

static bool is_listed(enum entry_kind kind)
{
    return kind == ENTRY_CUT || entry_is_line(kind) || kind == ENTRY_PUNCH;
}

static bool may_be(const struct claim *c, const struct entry *e)
{
    if (c->subject != e->subject && e->subject != NMK_NONE)
        return false;
    if (c->row != NMK_NONE && e->row != NMK_NONE && c->row != e->row)
        return false;
    if (c->kind == ENTRY_ANY) {
        if (c->panel != NMK_NONE && e->kind == ENTRY_PANEL)
            return c->panel == e->part;
        return is_listed(e->kind) && e->wanted && (c->way < 0 || c->way == (int)e->way);
    }
    if (c->kind != e->kind)
        return false;
    if (c->kind == ENTRY_CUT || c->kind == ENTRY_PUNCH || entry_is_line(c->kind) || c->kind == ENTRY_SHEET ||
        c->kind == ENTRY_END)
        return c->way < 0 || c->way == (int)e->way;
    if (c->kind == ENTRY_GLUE || c->kind == ENTRY_REST || c->kind == ENTRY_SNIP)
        return c->edge < 0 || (c->edge == (int)e->last && (c->way < 0 || c->way == (int)e->way));
    return true;
}

/* What belongs there, if it is about this entry: a score may be told from either edge. */
static const struct nmk_rat *wanted(const struct claim *c, const struct entry *e)
{
    return entry_is_line(e->kind) && c->edge >= 0 && c->edge != (int)e->last ? &e->other : &e->mm;
}

static bool is_right(const struct claim *c, const struct entry *e)
{
    if (c->unreadable)
        return false;
    if (claim_is(c, wanted(c, e)))
        return true;
    /* from the left as a rule, where it is not said */
    return entry_is_line(e->kind) && c->edge < 0 && c->way >= 0 && e->last && claim_is(c, &e->other);
}

/* ---- one class of claims: alike in what they say ---- */

static bool is_alike(const struct claim *a, const struct claim *b)
{
    return a->kind == b->kind && a->way == b->way && a->edge == b->edge && a->panel == b->panel && a->row == b->row;
}

/* How much is open: the closer a claim says what it is about, the earlier it is held. */
static int openness(const struct claim *c)
{
    return (c->kind == ENTRY_ANY ? 4 : 0) + (c->way < 0 ? 2 : 0) + (c->edge < 0);
}

/* Told from this edge by the list itself: these are taken first. */
static bool is_own_edge(const struct claim *c, const struct entry *e)
{
    return !entry_is_line(e->kind) || c->edge < 0 || c->edge == (int)e->last;
}

struct class {
    size_t *claims, claim_count;   /* indices of claims */
    size_t *entries, entry_count;  /* entries that may be meant, those of its own edge first */
    size_t own_count;
};

static void set(struct holding *h, size_t claim, enum verdict verdict, size_t entry)
{
    h->proof->findings[claim] = (struct finding){.verdict = verdict, .edition = h->edition, .entry = entry};
    if (entry != NMK_NONE)
        h->here[entry - h->first] = true;
}

static const struct claim *claim_at(const struct holding *h, size_t claim)
{
    return &h->proof->claims.claims[claim];
}

static const struct entry *entry_at(const struct holding *h, size_t entry)
{
    return &list_of(h->proof, h->edition)->entries[entry];
}

/* Claims and entries one to one in their order: how many do not agree. */
static size_t count_disagreeing(const struct holding *h, const struct class *k)
{
    size_t count = 0;
    for (size_t i = 0; i < k->claim_count; i++)
        count += !is_right(claim_at(h, k->claims[i]), entry_at(h, k->entries[i]));
    return count;
}

/* Each claim with the first entry of its size that is free: how many find none. With `keep` the verdicts are set. */
static size_t take_equal(struct holding *h, const struct class *k, bool keep)
{
    bool *used = store_new(k->entry_count + 1, sizeof *used);
    size_t left = 0;
    for (size_t i = 0; i < k->claim_count; i++) {
        size_t at = 0;
        while (at < k->entry_count && (used[at] || !is_right(claim_at(h, k->claims[i]), entry_at(h, k->entries[at]))))
            at++;
        left += at == k->entry_count;
        if (at == k->entry_count)
            continue;
        used[at] = true;
        if (keep)
            set(h, k->claims[i], VERDICT_RIGHT, k->entries[at]);
    }
    store_free(used);
    return left;
}

static void take_in_order(struct holding *h, const struct class *k)
{
    for (size_t i = 0; i < k->claim_count; i++)
        set(h, k->claims[i], is_right(claim_at(h, k->claims[i]), entry_at(h, k->entries[i])) ? VERDICT_RIGHT : VERDICT_WRONG,
            k->entries[i]);
}

static bool is_open(const struct holding *h, size_t claim)
{
    return h->proof->findings[claim].verdict == VERDICT_UNSURE;
}

/* Said once more: right, unless an entry is still free, which should then stand there. */
static void take_again(struct holding *h, const struct class *k, size_t claim)
{
    size_t free = 0, at = NMK_NONE;
    for (size_t i = 0; i < k->entry_count; i++) {
        free += i < k->own_count && !h->here[k->entries[i] - h->first];
        if (is_right(claim_at(h, claim), entry_at(h, k->entries[i])))
            at = k->entries[i];
    }
    if (at != NMK_NONE && (!free || claim_at(h, claim)->kind == ENTRY_ANY))
        set(h, claim, VERDICT_RIGHT, at);
}

/* What is left over: with the free entries in their order, if there are as many; else it is one of them. */
static void take_wrong(struct holding *h, const struct class *k)
{
    size_t left = 0, free = 0;
    for (size_t i = 0; i < k->claim_count; i++)
        left += is_open(h, k->claims[i]);
    for (size_t i = 0; i < k->own_count; i++)
        free += !h->here[k->entries[i] - h->first];
    bool paired = left == free, any = k->own_count > 0;
    for (size_t i = 0, at = 0; i < k->claim_count; i++) {
        const struct claim *c = claim_at(h, k->claims[i]);
        if (!is_open(h, k->claims[i]))
            continue;
        while (at < k->own_count && h->here[k->entries[at] - h->first])
            at++;
        if (at < k->own_count && (paired || free == 1))
            set(h, k->claims[i], VERDICT_WRONG, k->entries[at]);
        else if (k->own_count == 1 && c->kind != ENTRY_ANY)
            set(h, k->claims[i], VERDICT_WRONG, k->entries[0]);
        else if (any && c->firm)
            set(h, k->claims[i], free ? VERDICT_WRONG : VERDICT_FOREIGN, NMK_NONE);
        else
            set(h, k->claims[i], c->firm ? VERDICT_FOREIGN : VERDICT_UNSURE, NMK_NONE);
    }
}

static void hold_class(struct holding *h, const struct class *k)
{
    size_t unequal = take_equal(h, k, false);
    if (k->claim_count == k->own_count && unequal && count_disagreeing(h, k) <= unequal) {
        take_in_order(h, k);
        return;
    }
    take_equal(h, k, true);
    for (size_t i = 0; i < k->claim_count; i++)
        if (is_open(h, k->claims[i]))
            take_again(h, k, k->claims[i]);
    take_wrong(h, k);
}

/* Entries that claims which say more have taken stand behind the others. */
static void find_entries(struct class *k, const struct holding *h, const struct claim *c)
{
    for (int turn = 0; turn < 2; turn++) {
        for (size_t e = h->first; e < h->end; e++)
            if (may_be(c, entry_at(h, e)) && (!h->here[e - h->first] && is_own_edge(c, entry_at(h, e))) == !turn)
                k->entries[k->entry_count++] = e;
        if (!turn)
            k->own_count = k->entry_count;
    }
}

static void hold_alike(struct holding *h, size_t first)
{
    const struct claim *c = claim_at(h, h->claims[first]);
    struct class k = {.claims = store_new(h->count, sizeof *k.claims),
                      .entries = store_new(h->end - h->first + 1, sizeof *k.entries)};
    for (size_t i = first; i < h->count; i++)
        if (is_open(h, h->claims[i]) && is_alike(c, claim_at(h, h->claims[i])))
            k.claims[k.claim_count++] = h->claims[i];
    find_entries(&k, h, c);
    hold_class(h, &k);
    store_free(k.claims);
    store_free(k.entries);
}

static void hold(struct holding *h)
{
    bool *done = store_new(h->count + 1, sizeof *done);
    for (int open = 0; open <= 7; open++)
        for (size_t i = 0; i < h->count; i++) {
            const struct claim *c = claim_at(h, h->claims[i]);
            if (done[i] || openness(c) != open)
                continue;
            for (size_t k = i; k < h->count; k++)
                done[k] = done[k] || is_alike(c, claim_at(h, h->claims[k]));
            hold_alike(h, i);
        }
    store_free(done);
}

/* ---- an edition ---- */

static int compare_claims(const struct claim *a, const struct claim *b)
{
    if (a->subject != b->subject)
        return a->subject < b->subject ? -1 : 1;
    return a->block < b->block ? -1 : a->block > b->block;
}

struct key {
    size_t claim;
    const struct claim *is;
};

static int compare_keys(const void *a, const void *b)
{
    const struct key *p = a, *q = b;
    int by = compare_claims(p->is, q->is);
    return by ? by : p->claim < q->claim ? -1 : p->claim > q->claim;
}

/* The entries of a subject stand together; those of the edition itself last. */
static void find_range(struct holding *h, size_t subject)
{
    const struct entry_list *list = list_of(h->proof, h->edition);
    size_t low = 0, high = list->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (list->entries[middle].subject < subject)
            low = middle + 1;
        else
            high = middle;
    }
    h->first = h->end = low;
    while (h->end < list->count && list->entries[h->end].subject == subject)
        h->end++;
}

static void hold_block(struct proof *p, size_t edition, size_t *claims, size_t count)
{
    struct holding h = {.proof = p, .edition = edition, .claims = claims, .count = count};
    find_range(&h, p->claims.claims[claims[0]].subject);
    h.here = store_new(h.end - h.first + 1, sizeof *h.here);
    hold(&h);
    for (size_t e = h.first; e < h.end; e++)
        p->editions[edition].stands[e] = p->editions[edition].stands[e] || h.here[e - h.first];
    store_free(h.here);
}

/* Holds the claims of which `of` says so against one edition. */
static void hold_edition(struct proof *p, size_t edition, const size_t *of)
{
    struct key *keys = store_new(p->claims.count + 1, sizeof *keys);
    size_t *claims = store_new(p->claims.count + 1, sizeof *claims), count = 0;
    for (size_t i = 0; i < p->claims.count; i++)
        if (of[i] == edition && p->claims.claims[i].kind != ENTRY_HINT)
            keys[count++] = (struct key){i, &p->claims.claims[i]};
    qsort(keys, count, sizeof *keys, compare_keys);
    for (size_t first = 0, end; first < count; first = end) {
        for (end = first; end < count && !compare_claims(keys[first].is, keys[end].is); end++)
            claims[end - first] = keys[end].claim;
        hold_block(p, edition, claims, end - first);
    }
    store_free(keys);
    store_free(claims);
}

/* ---- which edition ---- */

static size_t edition_of(const struct proof *p, size_t index)
{
    for (size_t i = 0; i < p->count; i++)
        if (p->editions[i].index == index)
            return i;
    return NMK_NONE;
}

static void forget(struct proof *p)
{
    for (size_t i = 0; i < p->claims.count; i++)
        p->findings[i] = (struct finding){.verdict = VERDICT_UNSURE, .edition = NMK_NONE, .entry = NMK_NONE, .other = NMK_NONE};
    for (size_t i = 0; i < p->count; i++)
        memset(p->editions[i].stands, 0, (p->editions[i].list.count + 1) * sizeof *p->editions[i].stands);
}

/* The edition of this kind of unit whose list the unnamed figures fit best. */
static size_t best_edition(struct proof *p, const size_t *of, enum claim_unit unit)
{
    size_t best = NMK_NONE, most = 0, candidates = 0;
    size_t *trial = store_new(p->claims.count + 1, sizeof *trial);
    for (size_t e = 0; e < p->count; e++) {
        if (claim_unit_of(p->editions[e].list.unit) != unit)
            continue;
        candidates++;
        size_t right = 0;
        for (size_t i = 0; i < p->claims.count; i++)
            trial[i] = of[i] == NMK_NONE && claim_unit_of(p->claims.claims[i].unit) == unit ? e : NMK_NONE;
        forget(p);
        hold_edition(p, e, trial);
        for (size_t i = 0; i < p->claims.count; i++)
            right += trial[i] == e && p->findings[i].verdict == VERDICT_RIGHT;
        if (best == NMK_NONE || right > most) {
            best = e;
            most = right;
        }
    }
    store_free(trial);
    if (best != NMK_NONE && candidates > 1)
        p->editions[best].by_fit = true;
    return best;
}

static void pick_editions(struct proof *p, size_t *of, bool asked)
{
    for (size_t i = 0; i < p->claims.count; i++) {
        const struct claim *c = &p->claims.claims[i];
        bool other = c->edition != NMK_NONE && c->beside && claim_unit_of(c->unit) != claim_unit_of(p->editions[0].list.unit);
        of[i] = c->edition == NMK_NONE || (!asked && c->beside) ? NMK_NONE : edition_of(p, c->edition);
        if (asked && other)
            of[i] = p->count; /* of an edition that was not asked for */
    }
    for (enum claim_unit unit = CLAIM_METRIC; unit <= CLAIM_INCH && !asked; unit++) {
        bool any = false;
        for (size_t i = 0; i < p->claims.count; i++)
            any = any ||
                  (of[i] == NMK_NONE && p->claims.claims[i].edition == NMK_NONE &&
                   claim_unit_of(p->claims.claims[i].unit) == unit) ||
                  (of[i] == NMK_NONE && p->claims.claims[i].beside && claim_unit_of(p->claims.claims[i].unit) == unit);
        size_t best = any ? best_edition(p, of, unit) : NMK_NONE;
        for (size_t i = 0; i < p->claims.count && best != NMK_NONE; i++)
            if (of[i] == NMK_NONE && claim_unit_of(p->claims.claims[i].unit) == unit)
                of[i] = best;
    }
}

/* Counts have no unit: they go with the edition that the figures of their block have. Where none is of its kind of unit,
 * a figure goes with the first edition. */
static void place_rest(struct proof *p, size_t *of)
{
    for (size_t i = 0; i < p->claims.count; i++) {
        const struct claim *c = &p->claims.claims[i];
        for (size_t k = 0; of[i] == NMK_NONE && c->kind == ENTRY_COPIES && k < p->claims.count; k++) {
            size_t next = i + k < p->claims.count && p->claims.claims[i + k].block == c->block ? i + k : NMK_NONE;
            size_t last = k <= i && p->claims.claims[i - k].block == c->block ? i - k : NMK_NONE;
            of[i] = next != NMK_NONE && of[next] != NMK_NONE ? of[next] : last != NMK_NONE ? of[last] : NMK_NONE;
            if (next == NMK_NONE && last == NMK_NONE)
                break;
        }
        if (of[i] == NMK_NONE && c->edition == NMK_NONE)
            of[i] = 0;
    }
}

/* ---- hints, and figures of no edition ---- */

/* A hint is right if it leads to the mark that belongs there. */
static void hold_hint(struct proof *p, size_t claim)
{
    const struct claim *c = &p->claims.claims[claim];
    const struct finding *of = &p->findings[c->hint_of];
    struct nmk_rat from = {0};
    if (of->edition == NMK_NONE || of->entry == NMK_NONE)
        return;
    const struct entry_list *list = list_of(p, of->edition);
    nmk_rat_set_int(&from, -c->hint_marks);
    nmk_rat_mul(&from, &from, &list->step);
    nmk_rat_add(&from, &from, wanted(&p->claims.claims[c->hint_of], &list->entries[of->entry]));
    bool right = claim_is(c, &from);
    p->findings[claim] = (struct finding){
        .verdict = right ? VERDICT_RIGHT : VERDICT_WRONG, .edition = of->edition, .entry = of->entry, .other = NMK_NONE};
    nmk_rat_clear(&from);
}

/* ---- the whole ---- */

/* Has the text a list of it? A few figures beside those of another edition are none. */
static bool is_spoken_of(const struct proof *p, size_t edition)
{
    const struct entry_list *list = list_of(p, edition);
    size_t wanted_count = 0, stand = 0;
    for (size_t i = 0; i < p->claims.count; i++) {
        const struct claim *c = &p->claims.claims[i];
        if (p->findings[i].edition == edition && !c->beside &&
            (is_listed(c->kind) || c->kind == ENTRY_COPIES || c->kind == ENTRY_ANY))
            return true;
    }
    for (size_t i = 0; i < list->count; i++) {
        wanted_count += list->entries[i].wanted;
        stand += list->entries[i].wanted && p->editions[edition].stands[i];
    }
    return stand > 0 && stand * 2 >= wanted_count;
}

bool proof_is_missing(const struct proof *p, size_t edition, size_t entry)
{
    const struct proof_edition *e = &p->editions[edition];
    const struct entry *is = &e->list.entries[entry];
    bool opening = is->subject >= nmk_design_piece_count(e->list.design);
    return e->spoken_of && is->wanted && !e->stands[entry] && !(p->claims.scores_elsewhere && entry_is_line(is->kind)) &&
           !(p->claims.notes_elsewhere && opening);
}

/* By entry: does anything of its subject stand in the text? */
static bool *named_subjects(const struct proof *p, size_t edition)
{
    const struct entry_list *list = list_of(p, edition);
    bool *named = store_new(list->count + 1, sizeof *named);
    for (size_t first = 0, end; first < list->count; first = end) {
        bool any = false;
        for (end = first; end < list->count && list->entries[end].subject == list->entries[first].subject; end++)
            any = any || p->editions[edition].stands[end];
        for (size_t i = first; i < end; i++)
            named[i] = any;
    }
    return named;
}

/* A text that leaves pieces to a page need not have them. */
static void count_missing(struct proof *p, size_t edition)
{
    struct proof_edition *e = &p->editions[edition];
    bool *named = named_subjects(p, edition);
    e->spoken_of = is_spoken_of(p, edition);
    for (size_t i = 0; i < e->list.count; i++) {
        if (p->claims.pieces_elsewhere && !named[i])
            e->list.entries[i].wanted = false;
        e->missing += proof_is_missing(p, edition, i);
    }
    store_free(named);
}

static void count_claims(struct proof *p)
{
    for (size_t i = 0; i < p->claims.count; i++) {
        const struct finding *f = &p->findings[i];
        if (f->verdict == VERDICT_UNSURE)
            p->unsure++;
        if (f->verdict == VERDICT_WRONG || f->verdict == VERDICT_FOREIGN)
            p->wrong += proof_is_shown(p, i);
        if (f->edition == NMK_NONE || f->edition >= p->count)
            continue;
        p->editions[f->edition].right += f->verdict == VERDICT_RIGHT && !p->claims.claims[i].again;
        p->editions[f->edition].wrong += (f->verdict == VERDICT_WRONG || f->verdict == VERDICT_FOREIGN) && proof_is_shown(p, i);
    }
}

bool proof_is_shown(const struct proof *p, size_t claim)
{
    if (!p->claims.claims[claim].again)
        return true;
    for (size_t i = claim; i--;) {
        if (p->findings[i].verdict == VERDICT_WRONG || p->findings[i].verdict == VERDICT_FOREIGN)
            return false;
        if (!p->claims.claims[i].again)
            return true;
    }
    return true;
}

/* How many there are is said once for figures of two editions that stand side by side. */
static void share_copies(struct proof *p, size_t claim)
{
    const struct claim *c = &p->claims.claims[claim];
    for (size_t i = claim; i < p->claims.count && p->claims.claims[i].block == c->block; i++) {
        size_t edition = p->findings[i].edition;
        if (edition == NMK_NONE || edition == p->findings[claim].edition)
            continue;
        const struct entry_list *list = list_of(p, edition);
        for (size_t e = 0; e < list->count && list->entries[e].subject <= c->subject; e++)
            if (list->entries[e].subject == c->subject && list->entries[e].kind == ENTRY_COPIES)
                p->editions[edition].stands[e] = true;
    }
}

static void hold_all(struct proof *p, bool asked)
{
    size_t *of = store_new(p->claims.count + 1, sizeof *of);
    pick_editions(p, of, asked);
    place_rest(p, of);
    forget(p);
    for (size_t e = 0; e < p->count; e++)
        hold_edition(p, e, of);
    for (size_t i = 0; i < p->claims.count; i++) {
        if (of[i] == p->count)
            p->findings[i].verdict = VERDICT_ELSEWHERE;
        else if (p->claims.claims[i].kind == ENTRY_HINT)
            hold_hint(p, i);
        if (p->findings[i].verdict == VERDICT_WRONG || p->findings[i].verdict == VERDICT_FOREIGN)
            finding_explain(&p->findings[i], p, &p->claims.claims[i]);
        if (p->claims.claims[i].kind == ENTRY_COPIES && p->findings[i].edition != NMK_NONE)
            share_copies(p, i);
    }
    store_free(of);
}

void proof_init(struct proof *out, const struct nmk_settled *const *settled, const size_t *editions, size_t count, bool asked,
                const char *text, size_t size)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(settled[0]));
    size_t all = nmk_design_edition_count(design);
    struct proof p = {.count = count, .editions = store_new(count, sizeof *p.editions)};
    enum nmk_unit *units = store_new(all, sizeof *units);
    for (size_t i = 0; i < all; i++)
        units[i] = nmk_design_edition(design, i)->unit;
    for (size_t i = 0; i < count; i++) {
        entry_list_init(&p.editions[i].list, settled[i]);
        p.editions[i].index = editions[i];
        p.editions[i].stands = store_new(p.editions[i].list.count + 1, sizeof(bool));
        units[editions[i]] = p.editions[i].list.unit;
    }
    claims_read(&p.claims, design, units, asked ? editions[0] : NMK_NONE, text, size);
    store_free(units);
    p.findings = store_new(p.claims.count + 1, sizeof *p.findings);
    hold_all(&p, asked);
    for (size_t i = 0; i < count; i++)
        count_missing(&p, i);
    count_claims(&p);
    *out = p;
}

void proof_clear(struct proof *p)
{
    for (size_t i = 0; i < p->count; i++) {
        entry_list_clear(&p->editions[i].list);
        store_free(p->editions[i].stands);
    }
    store_free(p->editions);
    store_free(p->findings);
    claims_clear(&p->claims);
    *p = (struct proof){0};
}
