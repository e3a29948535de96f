/* debug.h -- checks that only debug builds (-DNMK_DEBUG) pay for: canonical forms at public exits. */
#ifndef LIB_BASE_DEBUG_H
#define LIB_BASE_DEBUG_H

#include <assert.h>

#ifdef NMK_DEBUG
#define NMK_DEBUG_ASSERT(condition) assert(condition)
#else
#define NMK_DEBUG_ASSERT(condition) ((void)0)
#endif

#endif
