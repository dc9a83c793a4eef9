/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The heap, in one place: every allocation is counted and any one can be made to fail
 * by a test. Memory is zeroed unless raw. */
#ifndef BASE_MEM_H
#define BASE_MEM_H

#include <stddef.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** a * b into *out; LEV_E_LIMIT when the product does not fit in ptrdiff_t. */
lev_status lev_mul_size(size_t a, size_t b, size_t *out, lev_error *err);

/** n zeroed elements of size bytes; n = 0 gives a pointer that may be freed. */
lev_status lev_mem_new(size_t n, size_t size, void **out, lev_error *err);

/** The same without zeroing, for arrays that are written before they are read. */
lev_status lev_mem_raw(size_t n, size_t size, void **out, lev_error *err);

/** Grow *p (NULL allowed) from old_n to n elements; the new ones are zeroed. On failure
 * *p stays as it was. */
lev_status lev_mem_grow(void **p, size_t old_n, size_t n, size_t size, lev_error *err);

/** Free; NULL allowed. */
void lev_mem_free(void *p);

/** A zero-terminated copy of n bytes. */
lev_status lev_mem_text(const char *s, size_t n, char **out, lev_error *err);

/* For tests only, and only in builds with LEV_MEM_TEST: allocations since the last
 * call of lev_mem_test_fail, blocks alive now, and the number of the allocation that
 * shall fail (0 = none). */
void lev_mem_test_fail(long nth);
long lev_mem_test_count(void);
long lev_mem_test_alive(void);

#ifdef __cplusplus
}
#endif
#endif
