/* SPDX-License-Identifier: GPL-3.0-or-later */
/* This program once more, in a child with little room: whatever reads a file of
 * unknown making does so there. A reader that is tricked into taking all memory, all
 * time or the machine itself takes only the child. */
#ifndef IO_CHILD_H
#define IO_CHILD_H

#include <stddef.h>

#include "levigate/status.h"

enum {
    /* Arguments of the child, the name of the program included. */
    LEV_CHILD_ARGS = 40,
    /* What it may say: a report of a thousand lines is 200 kB. */
    LEV_CHILD_OUT_BYTES = 4 << 20
};

typedef struct lev_child_ask {
    const char *const *args; /* behind the program's name; ends with NULL */
    int in;                  /* becomes its standard input, from the start */
    int cpu_s, wall_s;       /* seconds of work, and of waiting */
    size_t file_bytes;       /* largest file it may write; 0: none */
    int (*wanted)(
        void *to); /* asked every fifth of a second; 0 ends it; NULL: always */
    void *to;
} lev_child_ask;

typedef struct lev_child_reply {
    int exit;  /* of the program */
    char *out; /* zero-terminated; free with lev_child_reply_release */
    size_t out_n;
    char where[80], what[400]; /* of its message "levigate: where: what", or "" */
} lev_child_reply;

/**
 * Run and wait.
 * @return LEV_OK when it ended by itself, whatever its exit; LEV_E_LIMIT when it took
 *         too much time, memory or output; LEV_E_CANCEL; LEV_E_SYSTEM when it could not
 *         be started
 */
lev_status lev_child_run(const lev_child_ask *ask, lev_child_reply *reply,
                         lev_error *err);
void lev_child_reply_release(lev_child_reply *reply);

#endif
