/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An arena of linked blocks. See arena.h. */
#include "arena.h"

#include <stdarg.h>
#include <stdalign.h>
#include <stdio.h>
#include <string.h>

#include "bounds.h"
#include "mem.h"

struct lev_arena_block {
    lev_arena_block *next;
    size_t size, used;
    alignas(max_align_t) unsigned char bytes[];
};

#ifdef LEV_ARENA_DEBUG
enum { BLOCK_BYTES = 1 };
#else
enum { BLOCK_BYTES = 16 * 1024 };
#endif

static lev_status add_block(lev_arena *a, size_t bytes, lev_error *err)
{
    void *p = NULL;
    const size_t size = bytes > BLOCK_BYTES ? bytes : BLOCK_BYTES;
    const lev_status st = lev_mem_new(1, sizeof(lev_arena_block) + size, &p, err);
    if (st < 0)
        return st;
    lev_arena_block *b = p;
    b->next = a->first;
    b->size = size;
    a->first = b;
    return LEV_OK;
}

lev_status lev_arena_new(lev_arena *a, size_t n, size_t size, void **out,
                         lev_error *err)
{
    lev_status st = LEV_OK;
    size_t bytes = 0;
    const size_t align = alignof(max_align_t);
    const size_t limit = a->limit > 0 ? a->limit : LEV_LIMIT_ARENA_BYTES;

    LEV_TRY(lev_mul_size(n, size, &bytes, err));
    if (bytes > limit || a->used > limit - bytes)
        LEV_TRY(
            lev_fail(err, LEV_E_LIMIT, "more than %zu bytes of working memory", limit));
    bytes = (bytes + align - 1) / align * align;
    if (a->first == NULL || a->first->size - a->first->used < bytes)
        LEV_TRY(add_block(a, bytes, err));
    *out = a->first->bytes + a->first->used;
    a->first->used += bytes;
    a->used += bytes;
out:
    return st;
}

lev_status lev_arena_text(lev_arena *a, const char *s, size_t n, const char **out,
                          lev_error *err)
{
    void *p = NULL;
    const lev_status st = lev_arena_new(a, n + 1, 1, &p, err);
    if (st < 0)
        return st;
    if (n > 0)
        memcpy(p, s, n);
    *out = p;
    return LEV_OK;
}

lev_status lev_arena_print(lev_arena *a, const char **out, lev_error *err,
                           const char *format, ...)
{
    char text[LEV_LIMIT_LINE_BYTES];
    va_list ap;
    va_start(ap, format);
    const int n = vsnprintf(text, sizeof text, format, ap);
    va_end(ap);
    if (n < 0 || (size_t)n >= sizeof text)
        return lev_fail(err, LEV_E_LIMIT, "text longer than %zu bytes", sizeof text);
    return lev_arena_text(a, text, (size_t)n, out, err);
}

void lev_arena_release(lev_arena *a)
{
    if (a == NULL)
        return;
    for (lev_arena_block *b = a->first; b != NULL;) {
        lev_arena_block *next = b->next;
        lev_mem_free(b);
        b = next;
    }
    a->first = NULL;
    a->used = 0;
}
