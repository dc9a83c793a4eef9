/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An arena: many small things with one life. In builds with LEV_ARENA_DEBUG every item
 * is a malloc of its own, so that the sanitizers see its edges. */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stddef.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct lev_arena_block lev_arena_block;

/* Zero-initialised is ready for use. */
typedef struct lev_arena {
    lev_arena_block *first;
    size_t used;  /* bytes handed out in all */
    size_t limit; /* refuse beyond; 0 = LEV_LIMIT_ARENA_BYTES */
} lev_arena;

/** n zeroed elements of size bytes, aligned for any object; borrowed from the arena. */
lev_status lev_arena_new(lev_arena *a, size_t n, size_t size, void **out,
                         lev_error *err);

/** A zero-terminated copy of n bytes, borrowed from the arena. */
lev_status lev_arena_text(lev_arena *a, const char *s, size_t n, const char **out,
                          lev_error *err);

/** A printed text, borrowed from the arena. */
#if defined(__GNUC__)
__attribute__((format(printf, 4, 5)))
#endif
lev_status
lev_arena_print(lev_arena *a, const char **out, lev_error *err, const char *format,
                ...);

/** Free everything; the arena is empty and ready again. */
void lev_arena_release(lev_arena *a);

#ifdef __cplusplus
}
#endif
#endif
