/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See http_body.h. */
#include "http_body.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "mem.h"

static lev_status open_file(int *file, lev_error *err)
{
    const char *temp = getenv("TMPDIR");
    char path[256];
    (void)snprintf(path, sizeof path, "%.200s/levigate-XXXXXX",
                   temp != NULL ? temp : "/tmp");
    *file = mkostemp(path, O_CLOEXEC);
    if (*file < 0)
        return lev_fail(err, LEV_E_IO, "no room for the file in %.200s: %s",
                        temp != NULL ? temp : "/tmp", strerror(errno));
    (void)unlink(path);
    return LEV_OK;
}

lev_status lev_body_open(lev_body *b, size_t max, bool upload, int64_t until_s,
                         lev_error *err)
{
    *b = (lev_body){.max = max, .file = -1, .until_s = until_s};
    return upload ? open_file(&b->file, err) : LEV_OK;
}

static void refuse(lev_body *b, int status, const char *why)
{
    b->status = status;
    b->why = why;
}

static void to_memory(lev_body *b, const char *data, size_t n)
{
    void *p = b->data;
    if (b->n + n + 1 > b->cap) {
        const size_t cap = 2 * (b->n + n + 1);
        if (lev_mem_grow(&p, b->cap, cap, 1, NULL) < 0) {
            refuse(b, 500, "out of memory");
            return;
        }
        b->data = p;
        b->cap = cap;
    }
    memcpy(b->data + b->n, data, n);
    b->n += n;
    b->data[b->n] = '\0';
}

static void to_file(lev_body *b, const char *data, size_t n)
{
    while (n > 0) {
        const ssize_t put = write(b->file, data, n);
        if (put < 0 && errno == EINTR)
            continue;
        if (put <= 0) {
            refuse(b, 507, "the disk for temporary files is full");
            return;
        }
        b->n += (size_t)put;
        data += put;
        n -= (size_t)put;
    }
}

void lev_body_take(lev_body *b, const char *data, size_t n, int64_t now_s)
{
    if (b->status != 0)
        return;
    if (n > b->max - b->n)
        refuse(b, 413, "the body is larger than is taken here");
    else if (now_s > b->until_s)
        refuse(b, 408, "the body takes too long to arrive");
    else if (b->file >= 0)
        to_file(b, data, n);
    else
        to_memory(b, data, n);
}

void lev_body_release(lev_body *b)
{
    if (b == NULL)
        return;
    lev_mem_free(b->data);
    if (b->file >= 0)
        (void)close(b->file);
    *b = (lev_body){.file = -1};
}
