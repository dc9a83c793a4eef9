/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files. A file is written beside its place, synced and renamed, so that a full disk or
 * a power cut leaves the old one. */
#include "file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "mem.h"

enum { CHUNK = 1 << 16 };

static lev_status io_fail(lev_error *err, const char *path, const char *what)
{
    const int why = errno;
    (void)lev_fail(err, LEV_E_IO, "%s: %s", what, strerror(why));
    return lev_fail_at(err, LEV_E_IO, path);
}

/* Append what fd still holds. */
static lev_status read_rest(int fd, const char *path, size_t max_bytes, lev_bytes *b,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    size_t cap = 0;
    for (;;) {
        if (cap - b->n < CHUNK + 1) {
            void *p = b->data;
            const size_t grown = cap == 0 ? 2 * CHUNK : 2 * cap;
            LEV_TRY(lev_mem_grow(&p, cap, grown, 1, err));
            b->data = p;
            cap = grown;
        }
        const ssize_t got = read(fd, b->data + b->n, CHUNK);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            LEV_TRY(io_fail(err, path, "cannot be read"));
        if (got == 0)
            break;
        b->n += (size_t)got;
        if (b->n > max_bytes) {
            (void)lev_fail(err, LEV_E_LIMIT, "larger than %zu bytes", max_bytes);
            LEV_TRY(lev_fail_at(err, LEV_E_LIMIT, path));
        }
    }
    b->data[b->n] = '\0';
out:
    return st;
}

lev_status lev_bytes_read(const char *path, size_t max_bytes, lev_bytes *out,
                          lev_error *err)
{
    const int is_stdin = strcmp(path, "-") == 0;
    lev_bytes b = {0};
    lev_status st = LEV_OK;
    const int fd = is_stdin ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        return io_fail(err, path, "cannot be opened");
    st = read_rest(fd, path, max_bytes, &b, err);
    if (!is_stdin)
        (void)close(fd);
    if (st < 0)
        lev_bytes_release(&b);
    else
        *out = b;
    return st;
}

void lev_bytes_release(lev_bytes *b)
{
    if (b == NULL)
        return;
    lev_mem_free(b->data);
    *b = (lev_bytes){0};
}

/* Give the new file the permissions a plain creation would have had. */
static void usual_mode(int fd)
{
    const mode_t mask = umask(0);
    (void)umask(mask);
    (void)fchmod(fd, 0666 & ~mask);
}

lev_status lev_sink_open(lev_sink *s, const char *path, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_sink made = {.fd = -1};
    const size_t n = strlen(path);
    void *p = NULL;

    LEV_TRY(lev_mem_text(path, n, &made.path, err));
    LEV_TRY(lev_mem_new(n + 8, 1, &p, err));
    made.temp = p;
    (void)snprintf(made.temp, n + 8, "%s.XXXXXX", path);
    made.fd = mkostemp(made.temp, O_CLOEXEC);
    if (made.fd < 0)
        LEV_TRY(io_fail(err, path, "cannot be written"));
    usual_mode(made.fd);
    *s = made;
    made = (lev_sink){.fd = -1};
out:
    lev_mem_free(made.path);
    lev_mem_free(made.temp);
    return st;
}

lev_status lev_sink_write(lev_sink *s, const void *data, size_t n, lev_error *err)
{
    const char *p = data;
    while (n > 0) {
        const ssize_t done = write(s->fd, p, n);
        if (done < 0 && errno == EINTR)
            continue;
        if (done < 0)
            return io_fail(err, s->path, "cannot be written");
        p += done;
        n -= (size_t)done;
    }
    return LEV_OK;
}

static void sync_folder(const char *path)
{
    char folder[4096];
    const char *slash = strrchr(path, '/');
    const size_t n = slash == NULL ? 0 : (size_t)(slash - path);
    if (n >= sizeof folder)
        return;
    memcpy(folder, path, n);
    folder[n] = '\0';
    const int fd = open(slash == NULL ? "."
                        : n == 0      ? "/"
                                      : folder,
                        O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0)
        return;
    (void)fsync(fd);
    (void)close(fd);
}

lev_status lev_sink_commit(lev_sink *s, lev_error *err)
{
    if (fsync(s->fd) != 0 && errno != EINVAL)
        return io_fail(err, s->path, "cannot be written");
    const int fd = s->fd;
    s->fd = -1;
    if (close(fd) != 0 || rename(s->temp, s->path) != 0) {
        const lev_status st = io_fail(err, s->path, "cannot be written");
        (void)unlink(s->temp);
        return st;
    }
    sync_folder(s->path);
    lev_mem_free(s->temp);
    s->temp = NULL;
    return LEV_OK;
}

void lev_sink_release(lev_sink *s)
{
    if (s == NULL)
        return;
    if (s->temp != NULL) {
        if (s->fd >= 0)
            (void)close(s->fd);
        (void)unlink(s->temp);
    }
    lev_mem_free(s->temp);
    lev_mem_free(s->path);
    *s = (lev_sink){.fd = -1};
}
