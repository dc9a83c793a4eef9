/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body of a request while it arrives: a job in memory, an upload in a file that has
 * no name, so that nothing is left behind whatever happens. */
#ifndef HTTP_BODY_H
#define HTTP_BODY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/status.h"

typedef struct lev_body {
    char *data; /* zero-terminated behind n; NULL: nothing came, or it is in the file */
    size_t n, cap, max;
    int file;        /* -1: in memory */
    int64_t until_s; /* by a clock that only runs; later it is too slow */
    int status;      /* 0, or what to refuse with */
    const char *why;
} lev_body;

/** Make ready for at most `max` bytes until `until_s`. An upload gets its file in the
 * folder for temporary files; LEV_E_IO. */
lev_status lev_body_open(lev_body *b, size_t max, bool upload, int64_t until_s,
                         lev_error *err);
/** Take some bytes at now_s; a complaint is kept in status and why. */
void lev_body_take(lev_body *b, const char *data, size_t n, int64_t now_s);
void lev_body_release(lev_body *b);

#endif
