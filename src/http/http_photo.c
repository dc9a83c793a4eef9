/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos beside the log. What comes in is unpacked once in a fenced child before it is
 * kept, and what goes out is always a small one that the child made anew: no byte of a
 * stranger's file reaches a browser. */
#include "http_shop.h"

#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app_picture.h"
#include "app_shop_job.h"
#include "child.h"
#include "http_drawing.h"

enum {
    CPU_S = 20,
    WALL_S = 60,
    NAME_BYTES = 80,
    WORDS_BYTES = 200,
    SMALL_BYTES = 8 << 20 /* a small one */
};

static const double entries = 1e9;

static int still_wanted(void *to)
{
    const lev_http_watch *w = to;
    return w->unwanted == NULL || w->unwanted(w->to, 0) == 0;
}

/* Unpack the photo; write it small to `output`, NULL: only look whether it is one. */
static lev_status unpack(const lev_http_ask *ask, int file, int side,
                         const char *output, lev_error *err)
{
    lev_child_reply r = {0};
    lev_http_watch watch = ask->watch;
    char size[24];
    (void)snprintf(size, sizeof size, "--side=%d", side);
    const char *args[] = {
        "picture", "/dev/stdin", "--json", size, output != NULL ? "--output" : NULL,
        output,    NULL};
    const lev_child_ask child = {.args = args,
                                 .in = file,
                                 .cpu_s = CPU_S,
                                 .wall_s = WALL_S,
                                 .file_bytes = output != NULL ? SMALL_BYTES : 0,
                                 .wanted = still_wanted,
                                 .to = &watch};
    lev_status st = lev_child_run(&child, &r, err);
    if (st >= 0 && r.exit != 0)
        st = lev_fail(err, r.exit == 2 ? LEV_E_FORMAT : LEV_E_SYSTEM, "%s",
                      r.what[0] != '\0' ? r.what : "it could not be read");
    lev_child_reply_release(&r);
    return lev_fail_at(err, st, "the photo");
}

/* A name to keep it under: the last part of what the phone called it, plain. */
static void plain_name(const char *given, char out[NAME_BYTES])
{
    size_t n = 0;
    const char *slash = given != NULL ? strrchr(given, '/') : NULL;
    for (const char *s = slash != NULL ? slash + 1 : given;
         s != NULL && *s != '\0' && n + 1 < NAME_BYTES; s++)
        out[n++] = strchr("\"\\<>&%", *s) != NULL ? '-' : *s;
    out[n] = '\0';
    if (n == 0)
        (void)snprintf(out, NAME_BYTES, "photo");
}

lev_status lev_http_photo_keep(const lev_http_ask *ask, lev_http_reply *reply,
                               lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_shop_job_answer a = {0};
    double entry = 0.0;
    char path[40], name[NAME_BYTES], words[WORDS_BYTES];
    int failed = 0;
    const char *said = lev_http_param(ask, "words");
    if (ask->file < 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "no photo came with it"));
    if (lev_http_param(ask, "job") == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "say of which job the photo is"));
    LEV_TRY(lev_http_number(ask, "entry", 1, entries, 0, &entry, err));
    LEV_TRY(unpack(ask, ask->file, LEV_PICTURE_SIDE, NULL, err));
    plain_name(lev_http_param(ask, "name"), name);
    (void)snprintf(path, sizeof path, "/proc/self/fd/%d", ask->file);
    if (entry > 0.0)
        (void)snprintf(words, sizeof words, "entry %.0f%s%.120s", entry,
                       said != NULL ? ": " : "", said != NULL ? said : "");
    else
        (void)snprintf(words, sizeof words, "%.120s", said != NULL ? said : "");
    const lev_shop_job_ask w = {.act = LEV_SHOP_JOB_ATTACH,
                                .name = lev_http_param(ask, "job"),
                                .face = lev_http_param(ask, "face"),
                                .file = path,
                                .file_name = name,
                                .why = words};
    LEV_TRY(lev_http_shop_open(ask, true, &shop, err));
    LEV_TRY(lev_app_shop_job(&shop, &w, &a, err));
    reply->news = "log";
    json_t *json = lev_app_shop_job_json(&a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_shop_job_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}

/* ---- shown ---- */

typedef struct shown {
    const lev_http_ask *ask;
    int file, side;
} shown;

static lev_status draw(const void *what, const char *path, lev_error *err)
{
    const shown *s = what;
    return unpack(s->ask, s->file, s->side, path, err);
}

lev_status lev_http_photo(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    char path[LEV_SHOP_PATH];
    double side = 0.0;
    int file = -1;
    const char *hash = lev_http_param(ask, "sha256");
    if (ask->shop == NULL)
        LEV_TRY(
            lev_fail(err, LEV_E_SYSTEM, "no shop is kept here; start with --db FILE"));
    if (hash == NULL || strlen(hash) + 1 != LEV_SHA256_TEXT ||
        strspn(hash, "0123456789abcdef") + 1 != LEV_SHA256_TEXT)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "sha256 should be the 64 hexadecimal digits of a photo"));
    LEV_TRY(lev_http_number(ask, "side", 16, 2048, LEV_PICTURE_SIDE, &side, err));
    lev_shop_file_path(ask->shop, hash, path);
    file = open(path, O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
    if (file < 0)
        LEV_TRY(lev_fail(err, LEV_E_UNKNOWN, "no such photo is kept here"));
    const shown s = {ask, file, (int)side};
    reply->keep = true;
    LEV_TRY(lev_http_draw_apart(reply, "jpg", draw, &s, err));
out:
    if (file >= 0)
        (void)close(file);
    return st;
}
