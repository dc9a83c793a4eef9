/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face simulated through the ladder that was chosen for it, with its picture: up to
 * minutes of work, so it tells each hundredth of the way and can be left off. One at a
 * time, so that ladders are still worked out for others meanwhile. */
#include "http.h"

#include <stdatomic.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "app_relief.h"
#include "http_drawing.h"
#include "http_kept.h"
#include "http_sources.h"
#include "json.h"

enum { THREADS_MOST = 16, SEED = 1, WHOLE = 100, BUSY = 503, WAITS = 20 };

static atomic_flag under_way = ATOMIC_FLAG_INIT;

typedef struct follower {
    const lev_http_watch *watch;
    const char *face;
    int told; /* hundredths */
} follower;

static int tell_share(void *payload, double done)
{
    follower *f = payload;
    const lev_http_watch *w = f->watch;
    const int share = (int)(done * WHOLE);
    if (share <= f->told)
        return w->unwanted != NULL ? w->unwanted(w->to, 0) : 0;
    f->told = share;
    return w->step != NULL ? w->step(w->to, share, WHOLE, f->face) : 0;
}

/* The face by its own name, which is plain; "" for what is none of them. */
static const char *face_of(const lev_job *job, const char *asked)
{
    for (ptrdiff_t i = 0; i < job->faces_n; i++)
        if (asked == NULL || strcmp(job->faces[i].name, asked) == 0)
            return job->faces[i].name;
    return "";
}

static int threads(void)
{
    const long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : n > THREADS_MOST ? THREADS_MOST : (int)n;
}

static lev_status draw_relief(const void *what, const char *path, lev_error *err)
{
    return lev_app_relief_write(what, path, err);
}

/* The answer with its picture in it, as an address that holds the bytes. */
static lev_status reply_relief(const lev_relief_answer *a, lev_http_reply *reply,
                               lev_error *err)
{
    lev_status st;
    int failed = 0;
    lev_http_reply picture = {0};
    lev_text t = {0};
    LEV_TRY(lev_http_draw_apart(&picture, "png", draw_relief, a, err));
    lev_text_add(&t, "data:image/png;base64,");
    lev_text_base64(&t, picture.body, picture.n);
    LEV_TRY(t.st);
    json_t *json = lev_app_relief_json(a, &failed);
    failed |= lev_json_put_text(json, "picture", lev_text_get(&t));
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_text_release(&t);
    lev_http_reply_release(&picture);
    return st;
}

static lev_status simulate(const lev_http_ask *ask, lev_http_reply *reply,
                           lev_error *err)
{
    lev_status st;
    lev_http_sources s = {0};
    lev_relief_answer a = {0};
    const char *face = lev_http_param(ask, "face");
    follower f = {.watch = &ask->watch, .told = -1};
    LEV_TRY(lev_http_sources_open(ask, &s, err));
    f.face = face_of(&s.job, face);
    if (tell_share(&f, 0.0) != 0)
        LEV_TRY(lev_fail(err, LEV_E_CANCEL, "cancelled"));
    lev_relief_request req = {.job = &s.job,
                              .face = face,
                              .from = s.from,
                              .threads = threads(),
                              .seed = SEED,
                              .progress = tell_share,
                              .payload = &f};
    req.from.step = NULL; /* faces are no shares of this work */
    LEV_TRY(lev_app_relief(&req, &a, err));
    LEV_TRY(reply_relief(&a, reply, err));
out:
    lev_relief_answer_release(&a);
    lev_http_sources_release(&s);
    return st;
}

/* The turn of this one. One that was left off takes a moment to end: that is awaited.
 */
static bool take_turn(const lev_http_watch *w)
{
    const struct timespec pause = {.tv_nsec = 100000000L};
    for (int i = 0; i < WAITS; i++) {
        if (!atomic_flag_test_and_set(&under_way))
            return true;
        if (w->unwanted != NULL && w->unwanted(w->to, 0) != 0)
            return false;
        (void)nanosleep(&pause, NULL);
    }
    return false;
}

lev_status lev_http_relief(const lev_http_ask *ask, lev_http_reply *reply,
                           lev_error *err)
{
    char key[LEV_KEPT_KEY];
    const bool keep = lev_http_kept_key(ask, key);
    if (keep && lev_http_kept_find(key, reply))
        return LEV_OK;
    if (!take_turn(&ask->watch)) {
        reply->status = BUSY;
        return lev_fail(err, LEV_E_LIMIT,
                        "another face is being simulated: ask again when it is done");
    }
    const lev_status st = simulate(ask, reply, err);
    atomic_flag_clear(&under_way);
    if (st >= 0 && keep)
        lev_http_kept_add(key, reply);
    return st;
}
