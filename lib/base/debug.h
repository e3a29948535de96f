/* debug.h -- checks that only debug builds (-DNMK_DEBUG), the stress build and those with the address sanitizer pay for:
 * canonical forms at public exits. A check may itself run out of memory, so it stands before the output is written. */
#ifndef LIB_BASE_DEBUG_H
#define LIB_BASE_DEBUG_H

#include <assert.h>

#if defined NMK_DEBUG || defined NMK_STRESS || defined __SANITIZE_ADDRESS__
#define NMK_DEBUG_ASSERT(condition) assert(condition)
#else
#define NMK_DEBUG_ASSERT(condition) ((void)0)
#endif

#endif
