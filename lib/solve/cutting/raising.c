#include "solve/cutting/raising.h"

#include "base/memory.h"

static uint64_t shifted(const uint64_t *words, size_t word, int32_t by)
{
    size_t whole = (size_t)by / 64, bits = (size_t)by % 64;
    if (word < whole)
        return 0;
    uint64_t value = words[word - whole] << bits;
    if (bits && word > whole)
        value |= words[word - whole - 1] >> (64 - bits);
    return value;
}

/* Bit x, for x in 0 .. size: sides of different pieces of the set can make up x. */
static uint64_t *mark_sums(const struct nmk_cutjob *job, uint64_t set, bool down, int32_t size, uint64_t *work)
{
    size_t words = (size_t)size / 64 + 1;
    uint64_t *sums = nmk_memory_new(words, sizeof *sums);
    sums[0] = 1;
    *work += (uint64_t)size;
    for (size_t i = 0; i < job->lot_count; i++) {
        const struct nmk_lot *lot = &job->lots[i];
        int32_t side = down ? lot->height : lot->width, other = down ? lot->width : lot->height;
        for (int64_t n = nmk_set_count(job, set, i); n > 0; n--) {
            for (size_t w = words; w-- > 0;)
                sums[w] |= shifted(sums, w, side) | (lot->may_turn ? shifted(sums, w, other) : 0);
            *work += 4 * words;
        }
    }
    return sums;
}

int32_t nmk_raising_make(struct nmk_raising *raising, int down, const struct nmk_cutjob *job, uint64_t set, int32_t size,
                         uint64_t *work)
{
    int32_t *raised = nmk_memory_resize(raising->raised[down], (size_t)size + 1, sizeof *raised);
    raising->raised[down] = raised;
    raising->size[down] = size;
    uint64_t *sums = mark_sums(job, set, down, size, work);
    int32_t usable = size;
    while (!(sums[usable / 64] >> usable % 64 & 1))
        usable--;
    int32_t best = 0;
    for (int32_t x = 0; x <= usable; x++) {
        best = sums[x / 64] >> x % 64 & 1 ? x : best;
        raised[usable - x] = usable - best;
    }
    nmk_memory_free(sums);
    return usable;
}

void nmk_raising_clear(struct nmk_raising *raising)
{
    nmk_memory_free(raising->raised[0]);
    nmk_memory_free(raising->raised[1]);
    *raising = (struct nmk_raising){.size = {0, 0}};
}
