/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files: read whole with a limit, written whole or not at all. */
#ifndef IO_FILE_H
#define IO_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "levigate/status.h"

typedef struct lev_bytes {
    char *data; /* zero-terminated behind n */
    size_t n;
} lev_bytes;

/** Read a file, or standard input for "-"; LEV_E_LIMIT beyond max_bytes. */
lev_status lev_bytes_read(const char *path, size_t max_bytes, lev_bytes *out,
                          lev_error *err);
void lev_bytes_release(lev_bytes *b);

/* A file being written: it appears under its name only when it is whole. */
typedef struct lev_sink {
    char *path, *temp;
    int fd;
} lev_sink;

/** Open a temporary file beside path. */
lev_status lev_sink_open(lev_sink *s, const char *path, lev_error *err);
lev_status lev_sink_write(lev_sink *s, const void *data, size_t n, lev_error *err);
/** Sync, rename over path, sync the folder. */
lev_status lev_sink_commit(lev_sink *s, lev_error *err);
/** Drop what was not committed; NULL or zeroed allowed. */
void lev_sink_release(lev_sink *s);

/* A folder of files being written: it appears under its name only when all of it is
 * there. */
typedef struct lev_folder {
    char *path, *temp;
} lev_folder;

/** A temporary folder beside path. LEV_E_USAGE when something stands at path already
 * (an empty folder may). */
lev_status lev_folder_open(lev_folder *f, const char *path, lev_error *err);
/** Write one whole file into it. */
lev_status lev_folder_put(lev_folder *f, const char *name, const void *data, size_t n,
                          lev_error *err);
/** Rename over path. */
lev_status lev_folder_commit(lev_folder *f, lev_error *err);
/** Drop what was not committed; zeroed allowed. */
void lev_folder_release(lev_folder *f);

#endif
