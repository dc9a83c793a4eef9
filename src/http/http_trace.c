/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A measured surface sent by the page: put into a file with a name of ours, told by its
 * content, measured, removed. */
#include "http.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "app_trace.h"
#include "file.h"
#include "http_drawing.h"
#include "mem.h"

static lev_status put(const char *path, const lev_http_ask *ask, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_sink sink = {.fd = -1};
    LEV_TRY(lev_sink_open(&sink, path, err));
    LEV_TRY(lev_sink_write(&sink, ask->body, ask->body_n, err));
    LEV_TRY(lev_sink_commit(&sink, err));
out:
    lev_sink_release(&sink);
    return st;
}

static lev_status measure(const lev_http_ask *ask, const char *path,
                          lev_trace_answer *a, lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    double max_um = 0.0;
    int failed = 0;
    lev_trace_request q = {.path = path};
    LEV_TRY(lev_http_number(ask, "max_um", 1e-6, 1e6, (double)NAN, &max_um, err));
    if (isfinite(max_um))
        q.limit[q.limits++] = (lev_trace_limit){.symbol = "Ra", .um = max_um};
    LEV_TRY(put(path, ask, err));
    (void)pthread_mutex_lock(&lev_http_transforms);
    st = lev_app_trace(&q, a, err);
    (void)pthread_mutex_unlock(&lev_http_transforms);
    LEV_TRY(lev_fail_at(err, st, "the file"));
    json_t *json = lev_app_trace_json(a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    return st;
}

lev_status lev_http_trace(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    const char *temp = getenv("TMPDIR");
    char folder[256], path[320];
    (void)snprintf(folder, sizeof folder, "%.200s/levigate-XXXXXX",
                   temp != NULL ? temp : "/tmp");
    if (mkdtemp(folder) == NULL)
        return lev_fail(err, LEV_E_IO, "no room for the file in %.200s", folder);
    (void)snprintf(path, sizeof path, "%s/surface", folder);
    LEV_TRY(lev_mem_new(1, sizeof(lev_trace_answer), &p, err));
    LEV_TRY(measure(ask, path, p, reply, err));
out:
    if (p != NULL)
        lev_trace_answer_release(p);
    lev_mem_free(p);
    (void)unlink(path);
    (void)rmdir(folder);
    return st;
}
