/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Folders that appear whole or not at all: filled beside their place, then renamed. */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file.h"
#include "mem.h"

enum { PATH_BYTES = 4096 };

static lev_status folder_fail(const lev_folder *f, lev_error *err)
{
    (void)lev_fail(err, LEV_E_IO, "cannot be written: %s", strerror(errno));
    return lev_fail_at(err, LEV_E_IO, f->path);
}

/* Nothing there, or an empty folder. */
static bool is_free(const char *path)
{
    struct stat there;
    if (lstat(path, &there) != 0)
        return true;
    DIR *d = opendir(path);
    if (d == NULL)
        return false;
    int entries = 0;
    for (const struct dirent *e = readdir(d); e != NULL; e = readdir(d))
        entries += strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0;
    (void)closedir(d);
    return entries == 0;
}

lev_status lev_folder_open(lev_folder *f, const char *path, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_folder made = {0};
    void *p = NULL;
    size_t n = strlen(path);
    while (n > 1 && path[n - 1] == '/')
        n--;
    LEV_TRY(lev_mem_text(path, n, &made.path, err));
    if (!is_free(made.path)) {
        (void)lev_fail(err, LEV_E_USAGE, "is there already; give a new name");
        LEV_TRY(lev_fail_at(err, LEV_E_USAGE, made.path));
    }
    LEV_TRY(lev_mem_new(n + 8, 1, &p, err));
    (void)snprintf(p, n + 8, "%s.XXXXXX", made.path);
    if (mkdtemp(p) == NULL)
        LEV_TRY(folder_fail(&made, err));
    made.temp = p;
    p = NULL;
    const mode_t mask = umask(0);
    (void)umask(mask);
    (void)chmod(made.temp, 0777 & ~mask);
    *f = made;
    made = (lev_folder){0};
out:
    lev_mem_free(p);
    lev_mem_free(made.path);
    return st;
}

lev_status lev_folder_put(lev_folder *f, const char *name, const void *data, size_t n,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    char path[PATH_BYTES];
    lev_sink sink = {.fd = -1};
    if (snprintf(path, sizeof path, "%s/%s", f->temp, name) >= (int)sizeof path)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "path of the folder is too long"));
    LEV_TRY(lev_sink_open(&sink, path, err));
    LEV_TRY(lev_sink_write(&sink, data, n, err));
    LEV_TRY(lev_sink_commit(&sink, err));
out:
    lev_sink_release(&sink);
    return st;
}

lev_status lev_folder_commit(lev_folder *f, lev_error *err)
{
    if (rename(f->temp, f->path) != 0)
        return folder_fail(f, err);
    lev_mem_free(f->temp);
    f->temp = NULL;
    return LEV_OK;
}

static void drop_files(const char *folder)
{
    char path[PATH_BYTES];
    DIR *d = opendir(folder);
    if (d == NULL)
        return;
    for (const struct dirent *e = readdir(d); e != NULL; e = readdir(d))
        if (snprintf(path, sizeof path, "%s/%s", folder, e->d_name) < (int)sizeof path)
            (void)unlink(path); /* . and .. refuse */
    (void)closedir(d);
}

void lev_folder_release(lev_folder *f)
{
    if (f == NULL)
        return;
    if (f->temp != NULL) {
        drop_files(f->temp);
        (void)rmdir(f->temp);
    }
    lev_mem_free(f->temp);
    lev_mem_free(f->path);
    *f = (lev_folder){0};
}
