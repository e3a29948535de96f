/* running_out.h -- an operation whose n-th allocation fails. */
#ifndef TESTS_UNIT_RUNNING_OUT_H
#define TESTS_UNIT_RUNNING_OUT_H

#include <setjmp.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/memory.h"

/* What an operation held when memory ran out is lost: the jump goes past whoever would have freed it. */
#ifdef __SANITIZE_ADDRESS__
#include <sanitizer/lsan_interface.h>
#define LOSSES_BEGIN() __lsan_disable()
#define LOSSES_END() __lsan_enable()
#else
#define LOSSES_BEGIN() ((void)0)
#define LOSSES_END() ((void)0)
#endif

static jmp_buf back;
static size_t wanted_last; /* when memory ran out */

/* For nmk_memory_handler_set. */
static inline void jump_back(size_t wanted)
{
    wanted_last = wanted;
    longjmp(back, 1);
}

/* True if it came to its end, false if memory ran out at the n-th allocation. */
static inline bool comes_through(void (*operation)(void), size_t n)
{
    volatile bool through = false;
    LOSSES_BEGIN();
    if (setjmp(back) == 0) {
        nmk_memory_fail_at(n);
        operation();
        nmk_memory_fail_at(0);
        through = true;
    }
    LOSSES_END();
    return through;
}

#endif
