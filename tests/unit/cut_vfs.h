/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file layer for SQLite in memory, on which the power can fail. What was written and
 * not yet synced is kept as single writes; at a cut each of them is on the disk or not,
 * by a seed, whatever their order was. It can also be full, or only be read, from any
 * operation on. One connection a file: locks are not kept. */
#ifndef CUT_VFS_H
#define CUT_VFS_H

#include <sqlite3.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "rng.h"

enum { CUT_FILES = 16, CUT_NAME = 200, CUT_REGIONS = 16 };

typedef struct cut_write { /* n = -1: the file was cut to the length `at` */
    sqlite3_int64 at;
    int n;
    unsigned char *data;
} cut_write;

typedef struct cut_bytes {
    unsigned char *data;
    sqlite3_int64 n, cap;
} cut_bytes;

typedef struct cut_node {
    char name[CUT_NAME];
    bool used;
    cut_bytes now, safe;
    cut_write *write;
    int writes, writes_cap;
    void *region[CUT_REGIONS];
} cut_node;

typedef struct cut_file {
    sqlite3_file base;
    cut_node *node;
    bool temporary;
} cut_file;

static struct {
    cut_node node[CUT_FILES];
    long changes, syncs;               /* so far */
    long stop_at_change, stop_at_sync; /* the power fails there; 0 never */
    bool stop_after_sync;              /* that sync is still done */
    long full_at_change;               /* the disk is full from there on; 0 never */
    bool dead, read_only;
    uint64_t draws;
} cut;

static inline void cut_grow(cut_bytes *b, sqlite3_int64 cap)
{
    unsigned char *p = calloc(1, (size_t)cap);
    if (b->n > 0)
        memcpy(p, b->data, (size_t)b->n);
    free(b->data);
    b->data = p;
    b->cap = cap;
}

static inline void cut_put(cut_bytes *b, const void *data, int n, sqlite3_int64 at)
{
    if (n <= 0 || at < 0)
        return;
    if (at + n > b->cap)
        cut_grow(b, 2 * (at + n));
    memcpy(b->data + at, data, (size_t)n);
    b->n = at + n > b->n ? at + n : b->n;
}

/* To a shorter length: what is behind it reads as zeros should the file grow again. */
static inline void cut_shorten(cut_bytes *b, sqlite3_int64 n)
{
    if (n >= b->n)
        return;
    memset(b->data + n, 0, (size_t)(b->n - n));
    b->n = n;
}

static inline void cut_apply(cut_bytes *b, const cut_write *w)
{
    if (w->n >= 0)
        cut_put(b, w->data, w->n, w->at);
    else
        cut_shorten(b, w->at);
}

static inline void cut_forget(cut_node *f)
{
    for (int i = 0; i < f->writes; i++)
        free(f->write[i].data);
    f->writes = 0;
}

static inline void cut_drop(cut_node *f)
{
    cut_forget(f);
    free(f->write);
    free(f->now.data);
    free(f->safe.data);
    for (int i = 0; i < CUT_REGIONS; i++)
        free(f->region[i]);
    memset(f, 0, sizeof *f);
}

static inline void cut_note(cut_node *f, const void *data, int n, sqlite3_int64 at)
{
    if (f->writes == f->writes_cap) {
        f->writes_cap = 2 * f->writes_cap + 16;
        f->write = realloc(f->write, (size_t)f->writes_cap * sizeof *f->write);
    }
    cut_write *w = &f->write[f->writes++];
    *w = (cut_write){.at = at, .n = n};
    if (n > 0) {
        w->data = malloc((size_t)n);
        memcpy(w->data, data, (size_t)n);
    }
    cut_apply(&f->now, w);
}

/* One more change: SQLITE_OK, or why it cannot be. */
static inline int cut_change(void)
{
    cut.changes++;
    if (cut.stop_at_change > 0 && cut.changes >= cut.stop_at_change)
        cut.dead = true;
    if (cut.dead)
        return SQLITE_IOERR;
    if (cut.read_only)
        return SQLITE_READONLY;
    return cut.full_at_change > 0 && cut.changes >= cut.full_at_change ? SQLITE_FULL
                                                                       : SQLITE_OK;
}

/* ---- methods of a file ---- */

static inline int cut_close(sqlite3_file *file)
{
    cut_file *f = (cut_file *)file;
    if (f->temporary)
        cut_drop(f->node);
    return SQLITE_OK;
}

static inline int cut_read(sqlite3_file *file, void *to, int n, sqlite3_int64 at)
{
    const cut_bytes *b = &((cut_file *)file)->node->now;
    if (cut.dead)
        return SQLITE_IOERR_READ;
    const sqlite3_int64 there = at >= b->n ? 0 : b->n - at < n ? b->n - at : n;
    if (there > 0)
        memcpy(to, b->data + at, (size_t)there);
    memset((char *)to + there, 0, (size_t)(n - there));
    return there == n ? SQLITE_OK : SQLITE_IOERR_SHORT_READ;
}

static inline int cut_write_at(sqlite3_file *file, const void *data, int n,
                               sqlite3_int64 at)
{
    const int rc = cut_change();
    if (rc == SQLITE_OK)
        cut_note(((cut_file *)file)->node, data, n, at);
    return rc;
}

static inline int cut_truncate(sqlite3_file *file, sqlite3_int64 n)
{
    const int rc = cut_change();
    if (rc == SQLITE_OK)
        cut_note(((cut_file *)file)->node, NULL, -1, n);
    return rc;
}

static inline int cut_sync(sqlite3_file *file, int flags)
{
    (void)flags;
    cut_node *f = ((cut_file *)file)->node;
    cut.syncs++;
    const bool stop = cut.stop_at_sync > 0 && cut.syncs >= cut.stop_at_sync;
    if (cut.dead || (stop && !cut.stop_after_sync)) {
        cut.dead = true;
        return SQLITE_IOERR_FSYNC;
    }
    for (int i = 0; i < f->writes; i++)
        cut_apply(&f->safe, &f->write[i]);
    cut_forget(f);
    cut.dead = stop;
    return stop ? SQLITE_IOERR_FSYNC : SQLITE_OK;
}

static inline int cut_size(sqlite3_file *file, sqlite3_int64 *n)
{
    *n = ((cut_file *)file)->node->now.n;
    return SQLITE_OK;
}

static inline int cut_lock(sqlite3_file *file, int level)
{
    (void)file;
    (void)level;
    return SQLITE_OK;
}

static inline int cut_reserved(sqlite3_file *file, int *out)
{
    (void)file;
    *out = 0;
    return SQLITE_OK;
}

static inline int cut_control(sqlite3_file *file, int op, void *arg)
{
    (void)file;
    (void)op;
    (void)arg;
    return SQLITE_NOTFOUND;
}

static inline int cut_sector(sqlite3_file *file)
{
    (void)file;
    return 512;
}

static inline int cut_traits(sqlite3_file *file)
{
    (void)file;
    return 0;
}

static inline int cut_shm_map(sqlite3_file *file, int i, int n, int make,
                              void volatile **out)
{
    cut_node *f = ((cut_file *)file)->node;
    if (i >= CUT_REGIONS)
        return SQLITE_IOERR_SHMSIZE;
    if (f->region[i] == NULL && make)
        f->region[i] = calloc(1, (size_t)n);
    *out = f->region[i];
    return SQLITE_OK;
}

static inline int cut_shm_lock(sqlite3_file *file, int at, int n, int flags)
{
    (void)file;
    (void)at;
    (void)n;
    (void)flags;
    return SQLITE_OK;
}

static inline void cut_shm_barrier(sqlite3_file *file)
{
    (void)file;
}

static inline int cut_shm_unmap(sqlite3_file *file, int forget)
{
    cut_node *f = ((cut_file *)file)->node;
    for (int i = 0; i < CUT_REGIONS && forget; i++) {
        free(f->region[i]);
        f->region[i] = NULL;
    }
    return SQLITE_OK;
}

static const sqlite3_io_methods cut_methods = {
    .iVersion = 2,
    .xClose = cut_close,
    .xRead = cut_read,
    .xWrite = cut_write_at,
    .xTruncate = cut_truncate,
    .xSync = cut_sync,
    .xFileSize = cut_size,
    .xLock = cut_lock,
    .xUnlock = cut_lock,
    .xCheckReservedLock = cut_reserved,
    .xFileControl = cut_control,
    .xSectorSize = cut_sector,
    .xDeviceCharacteristics = cut_traits,
    .xShmMap = cut_shm_map,
    .xShmLock = cut_shm_lock,
    .xShmBarrier = cut_shm_barrier,
    .xShmUnmap = cut_shm_unmap,
};

/* ---- methods of the layer ---- */

static inline cut_node *cut_find(const char *name)
{
    for (int i = 0; i < CUT_FILES; i++)
        if (cut.node[i].used && name != NULL && strcmp(cut.node[i].name, name) == 0)
            return &cut.node[i];
    return NULL;
}

static inline int cut_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *file,
                           int flags, int *out_flags)
{
    (void)vfs;
    cut_file *f = (cut_file *)file;
    cut_node *node = cut_find(name);
    memset(f, 0, sizeof *f);
    if (cut.dead || (node == NULL && ((flags & SQLITE_OPEN_CREATE) == 0 ||
                                      (cut.read_only && name != NULL))))
        return SQLITE_CANTOPEN;
    for (int i = 0; i < CUT_FILES && node == NULL; i++)
        if (!cut.node[i].used)
            node = &cut.node[i];
    if (node == NULL)
        return SQLITE_CANTOPEN;
    if (!node->used && name != NULL)
        strncpy(node->name, name, CUT_NAME - 1);
    node->used = true;
    f->base.pMethods = &cut_methods;
    f->node = node;
    f->temporary = name == NULL;
    if (out_flags != NULL)
        *out_flags = cut.read_only
                         ? (flags & ~SQLITE_OPEN_READWRITE) | SQLITE_OPEN_READONLY
                         : flags;
    return SQLITE_OK;
}

static inline int cut_delete(sqlite3_vfs *vfs, const char *name, int sync)
{
    (void)vfs;
    (void)sync;
    cut_node *node = cut_find(name);
    const int rc = cut_change();
    if (rc != SQLITE_OK && rc != SQLITE_FULL)
        return SQLITE_IOERR_DELETE;
    if (node == NULL)
        return SQLITE_IOERR_DELETE_NOENT;
    cut_drop(node);
    return SQLITE_OK;
}

static inline int cut_access(sqlite3_vfs *vfs, const char *name, int flags, int *out)
{
    (void)vfs;
    (void)flags;
    *out = cut_find(name) != NULL;
    return SQLITE_OK;
}

static inline int cut_full_name(sqlite3_vfs *vfs, const char *name, int n, char *out)
{
    (void)vfs;
    sqlite3_snprintf(n, out, "%s", name);
    return SQLITE_OK;
}

static inline int cut_random(sqlite3_vfs *vfs, int n, char *out)
{
    (void)vfs;
    for (int i = 0; i < n; i++)
        out[i] = (char)(255.0 * lev_rng_uniform((lev_rng){1}, cut.draws++, 3));
    return n;
}

static inline int cut_sleep(sqlite3_vfs *vfs, int us)
{
    (void)vfs;
    return us;
}

static inline int cut_time(sqlite3_vfs *vfs, double *out)
{
    (void)vfs;
    *out = 2461000.5;
    return SQLITE_OK;
}

static sqlite3_vfs cut_vfs = {.iVersion = 1,
                              .szOsFile = sizeof(cut_file),
                              .mxPathname = CUT_NAME - 1,
                              .zName = "cut",
                              .xOpen = cut_open,
                              .xDelete = cut_delete,
                              .xAccess = cut_access,
                              .xFullPathname = cut_full_name,
                              .xRandomness = cut_random,
                              .xSleep = cut_sleep,
                              .xCurrentTime = cut_time};

/* ---- for the tests ---- */

/* An empty disk with the power on. */
static inline void cut_begin(void)
{
    for (int i = 0; i < CUT_FILES; i++)
        cut_drop(&cut.node[i]);
    memset(&cut, 0, sizeof cut);
    (void)sqlite3_vfs_register(&cut_vfs, 0);
}

/* The power is back: every write not synced is there or not. Call it with no file
 * open. keep: chance of a write to be there. */
static inline void cut_power_back(lev_rng rng, double keep)
{
    for (int i = 0; i < CUT_FILES; i++) {
        cut_node *f = &cut.node[i];
        if (!f->used)
            continue;
        for (int k = 0; k < f->writes; k++)
            if (lev_rng_uniform(rng, cut.draws++, 4) < keep)
                cut_apply(&f->safe, &f->write[k]);
        cut_forget(f);
        for (int k = 0; k < CUT_REGIONS; k++) { /* memory of the program that died */
            free(f->region[k]);
            f->region[k] = NULL;
        }
        cut_shorten(&f->now, 0);
        cut_put(&f->now, f->safe.data, (int)f->safe.n, 0);
    }
    cut.dead = false;
    cut.stop_at_change = cut.stop_at_sync = cut.full_at_change = 0;
}

#endif
