/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The heap, in one place. See mem.h. The counters exist only in test builds: the
 * library itself has no mutable global. */
#include "mem.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#ifdef LEV_MEM_TEST
static _Thread_local long test_fail_at;
static _Thread_local long test_count;
static _Thread_local long test_alive;

void lev_mem_test_fail(long nth)
{
    test_fail_at = nth;
    test_count = 0;
}

long lev_mem_test_count(void)
{
    return test_count;
}

long lev_mem_test_alive(void)
{
    return test_alive;
}

static int refuse(void)
{
    test_count++;
    return test_count == test_fail_at;
}

static void count_alive(long by)
{
    test_alive += by;
}
#else
static int refuse(void)
{
    return 0;
}

static void count_alive(long by)
{
    (void)by;
}
#endif

lev_status lev_mul_size(size_t a, size_t b, size_t *out, lev_error *err)
{
    if (b != 0 && a > (size_t)PTRDIFF_MAX / b)
        return lev_fail(err, LEV_E_LIMIT,
                        "%zu elements of %zu bytes do not fit in memory", a, b);
    *out = a * b;
    return LEV_OK;
}

/* Maps, long traces and transforms are touched once: a page fault every 4 kB costs more
 * than the work on it. Advice only; refusal changes nothing. From 4 MiB on at least
 * one whole huge page lies inside; smaller blocks are used again by malloc. */
static void advise_huge(void *p, size_t bytes)
{
#ifdef MADV_HUGEPAGE
    const size_t page = 4096;
    const size_t skip = page - (uintptr_t)p % page;
    if (p != NULL && bytes >= ((size_t)4 << 20))
        (void)madvise((char *)p + skip, bytes - skip, MADV_HUGEPAGE);
#else
    (void)p;
    (void)bytes;
#endif
}

static lev_status new_block(size_t n, size_t size, int zeroed, void **out,
                            lev_error *err)
{
    size_t bytes = 0;
    lev_status st = LEV_OK;
    LEV_TRY(lev_mul_size(n, size, &bytes, err));
    const size_t wanted = bytes > 0 ? bytes : 1;
    void *p = NULL;
    if (!refuse())
        p = zeroed ? calloc(1, wanted) : malloc(wanted);
    if (p == NULL)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "out of memory (%zu bytes wanted)", bytes));
    advise_huge(p, bytes);
    count_alive(1);
    *out = p;
out:
    return st;
}

lev_status lev_mem_new(size_t n, size_t size, void **out, lev_error *err)
{
    return new_block(n, size, 1, out, err);
}

lev_status lev_mem_raw(size_t n, size_t size, void **out, lev_error *err)
{
    return new_block(n, size, 0, out, err);
}

lev_status lev_mem_grow(void **p, size_t old_n, size_t n, size_t size, lev_error *err)
{
    size_t bytes = 0;
    lev_status st = LEV_OK;
    if (*p == NULL)
        return lev_mem_new(n, size, p, err);
    LEV_TRY(lev_mul_size(n, size, &bytes, err));
    char *q = refuse() ? NULL : realloc(*p, bytes > 0 ? bytes : 1);
    if (q == NULL)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "out of memory (%zu bytes wanted)", bytes));
    if (n > old_n)
        /* NOLINTNEXTLINE: bytes fit, so q is there */
        memset(q + old_n * size, 0, (n - old_n) * size);
    *p = q;
out:
    return st;
}

void lev_mem_free(void *p)
{
    if (p == NULL)
        return;
    count_alive(-1);
    free(p);
}

lev_status lev_mem_text(const char *s, size_t n, char **out, lev_error *err)
{
    void *p = NULL;
    const lev_status st = lev_mem_new(n + 1, 1, &p, err);
    if (st < 0)
        return st;
    if (n > 0)
        /* NOLINTNEXTLINE: the block is there after LEV_OK */
        memcpy(p, s, n);
    *out = p;
    return LEV_OK;
}
