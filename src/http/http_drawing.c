/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Printed things for the page: drawn into a folder of their own, read back, removed. */
#include "http_drawing.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app_chart.h"
#include "bounds.h"
#include "file.h"

/* One drawing at a time: text shaping is no work for two threads. */
static pthread_mutex_t one_at_a_time = PTHREAD_MUTEX_INITIALIZER;

static const char *media_type(const char *ending)
{
    return strcmp(ending, "svg") == 0   ? "image/svg+xml"
           : strcmp(ending, "png") == 0 ? "image/png"
           : strcmp(ending, "jpg") == 0 ? "image/jpeg"
                                        : "application/pdf";
}

typedef struct drawing {
    lev_http_draw_fn *draw;
    const void *what;
    const char *name, *ending;
    bool apart;
} drawing;

static lev_status draw_now(const drawing *d, const char *path, lev_error *err)
{
    if (d->apart)
        return d->draw(d->what, path, err);
    (void)pthread_mutex_lock(&one_at_a_time);
    const lev_status st = d->draw(d->what, path, err);
    (void)pthread_mutex_unlock(&one_at_a_time);
    return st;
}

static lev_status draw_in_folder(lev_http_reply *reply, const drawing *d,
                                 lev_error *err)
{
    lev_status st = LEV_OK;
    const char *temp = getenv("TMPDIR");
    char folder[256], path[320] = "";
    lev_bytes b = {0};
    (void)snprintf(folder, sizeof folder, "%.200s/levigate-XXXXXX",
                   temp != NULL ? temp : "/tmp");
    if (mkdtemp(folder) == NULL)
        return lev_fail(err, LEV_E_IO, "no room to draw in %.200s", folder);
    (void)snprintf(path, sizeof path, "%s/page.%s", folder, d->ending);
    LEV_TRY(draw_now(d, path, err));
    LEV_TRY(lev_bytes_read(path, LEV_LIMIT_FILE_BYTES, &b, err));
    *reply = (lev_http_reply){.status = 200,
                              .keep = reply->keep,
                              .type = media_type(d->ending),
                              .file = d->name,
                              .body = b.data,
                              .n = b.n};
out:
    (void)unlink(path);
    (void)rmdir(folder);
    return st;
}

lev_status lev_http_draw(lev_http_reply *reply, const char *name, const char *ending,
                         lev_http_draw_fn *draw, const void *what, lev_error *err)
{
    const drawing d = {draw, what, name, ending, false};
    return draw_in_folder(reply, &d, err);
}

lev_status lev_http_draw_apart(lev_http_reply *reply, const char *ending,
                               lev_http_draw_fn *draw, const void *what, lev_error *err)
{
    const drawing d = {draw, what, NULL, ending, true};
    return draw_in_folder(reply, &d, err);
}

lev_status lev_http_ending(const lev_http_ask *ask, const char *usual,
                           const char **ending, lev_error *err)
{
    const char *s = lev_http_param(ask, "format");
    *ending = s != NULL ? s : usual;
    if (strcmp(*ending, "svg") == 0 || strcmp(*ending, "pdf") == 0 ||
        strcmp(*ending, "png") == 0)
        return LEV_OK;
    return lev_fail(err, LEV_E_USAGE, "format \"%.20s\" should be svg, pdf or png", s);
}

static lev_status draw_chart(const void *what, const char *path, lev_error *err)
{
    return lev_app_chart(path, what, err);
}

lev_status lev_http_chart(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    const char *ending = NULL, *paper = lev_http_param(ask, "paper");
    const lev_status st = lev_http_ending(ask, "svg", &ending, err);
    if (st < 0)
        return st;
    if (paper != NULL && strcmp(paper, "A2") != 0 && strcmp(paper, "A3") != 0)
        return lev_fail(err, LEV_E_USAGE, "paper \"%.20s\" should be A2 or A3", paper);
    return lev_http_draw(reply, NULL, ending, draw_chart, paper != NULL ? paper : "A2",
                         err);
}
