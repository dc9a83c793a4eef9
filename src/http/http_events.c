/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See http_events.h. One lock, one condition: a listener has a thread of its own, so it
 * may sleep in it. */
#include "http_events.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

void lev_events_init(lev_events *e, int running_max)
{
    *e = (lev_events){.running_max = running_max};
    (void)pthread_mutex_init(&e->lock, NULL);
    (void)pthread_cond_init(&e->news, NULL);
}

void lev_events_release(lev_events *e)
{
    (void)pthread_cond_destroy(&e->news);
    (void)pthread_mutex_destroy(&e->lock);
}

void lev_events_stop(lev_events *e)
{
    (void)pthread_mutex_lock(&e->lock);
    e->stopping = true;
    for (int i = 0; i < LEV_WORK_MAX; i++)
        e->work[i].cancelled = true;
    (void)pthread_cond_broadcast(&e->news);
    (void)pthread_mutex_unlock(&e->lock);
}

bool lev_events_join(lev_events *e)
{
    (void)pthread_mutex_lock(&e->lock);
    const bool room = e->listeners < LEV_EVENTS_LISTENERS && !e->stopping;
    e->listeners += room ? 1 : 0;
    (void)pthread_mutex_unlock(&e->lock);
    return room;
}

void lev_events_leave(lev_events *e)
{
    (void)pthread_mutex_lock(&e->lock);
    e->listeners--;
    (void)pthread_mutex_unlock(&e->lock);
}

static struct timespec later(int wait_s)
{
    struct timespec t = {0};
    (void)clock_gettime(CLOCK_REALTIME, &t);
    t.tv_sec += wait_s;
    return t;
}

long lev_events_next(lev_events *e, unsigned long *seen, int wait_s, char *out,
                     size_t max)
{
    const struct timespec until = later(wait_s);
    long n = -1;
    (void)pthread_mutex_lock(&e->lock);
    if (*seen > e->last) /* of a server before this one */
        *seen = e->last;
    while (!e->stopping && *seen == e->last &&
           pthread_cond_timedwait(&e->news, &e->lock, &until) == 0) {
    }
    if (!e->stopping && *seen == e->last) {
        n = snprintf(out, max, ": waiting\n\n");
    } else if (!e->stopping) {
        if (e->last - *seen > LEV_EVENTS_KEPT)
            *seen = e->last - LEV_EVENTS_KEPT;
        ++*seen;
        n = snprintf(out, max, "id: %lu\ndata: %s\n\n", *seen,
                     e->kept[*seen % LEV_EVENTS_KEPT]);
    }
    (void)pthread_mutex_unlock(&e->lock);
    return n;
}

void lev_events_tell(lev_events *e, const char *what)
{
    (void)pthread_mutex_lock(&e->lock);
    e->last++;
    (void)snprintf(e->kept[e->last % LEV_EVENTS_KEPT], LEV_EVENT_BYTES,
                   "{\"changed\":\"%.40s\"}", what);
    (void)pthread_cond_broadcast(&e->news);
    (void)pthread_mutex_unlock(&e->lock);
}

static lev_work *find(lev_events *e, const char *name)
{
    for (int i = 0; i < LEV_WORK_MAX; i++)
        if (strcmp(e->work[i].name, name) == 0)
            return &e->work[i];
    return NULL;
}

lev_work *lev_work_begin(lev_events *e, const char *name)
{
    (void)pthread_mutex_lock(&e->lock);
    lev_work *w = find(e, "");
    if (e->stopping || (name != NULL && (name[0] == '\0' || find(e, name) != NULL)))
        w = NULL;
    if (w != NULL) {
        *w = (lev_work){0};
        (void)snprintf(w->name, sizeof w->name, "%.32s", name != NULL ? name : "?");
        const unsigned long mine = e->last_ticket++;
        while ((e->running >= e->running_max || mine != e->now_serving) && !e->stopping)
            (void)pthread_cond_wait(&e->news, &e->lock);
        e->now_serving++;
        e->running++;
        (void)pthread_cond_broadcast(&e->news);
    }
    (void)pthread_mutex_unlock(&e->lock);
    return w;
}

void lev_work_end(lev_events *e, lev_work *w)
{
    (void)pthread_mutex_lock(&e->lock);
    w->name[0] = '\0';
    e->running--;
    (void)pthread_cond_broadcast(&e->news);
    (void)pthread_mutex_unlock(&e->lock);
}

bool lev_work_cancel(lev_events *e, const char *name)
{
    (void)pthread_mutex_lock(&e->lock);
    lev_work *w = name[0] != '\0' && strcmp(name, "?") != 0 ? find(e, name) : NULL;
    if (w != NULL)
        w->cancelled = true;
    (void)pthread_mutex_unlock(&e->lock);
    return w != NULL;
}

/* Names of works and faces hold letters, digits and hyphens only. */
static void tell_work(lev_events *e, const lev_work *w, ptrdiff_t begun)
{
    char more[40] = "";
    if (strcmp(w->name, "?") == 0)
        return;
    if (begun > 0)
        (void)snprintf(more, sizeof more, ",\"begun\":%td", begun);
    e->last++;
    (void)snprintf(e->kept[e->last % LEV_EVENTS_KEPT], LEV_EVENT_BYTES,
                   "{\"work\":\"%s\",\"done\":%d,\"of\":%d,\"what\":\"%s\"%s}", w->name,
                   w->done, w->all, w->what, more);
    (void)pthread_cond_broadcast(&e->news);
}

int lev_work_search(lev_events *e, lev_work *w, ptrdiff_t begun, int64_t now_ms)
{
    (void)pthread_mutex_lock(&e->lock);
    const int stop = w->cancelled ? 1 : 0;
    if (begun > 0 && now_ms - w->told_ms >= LEV_WORK_TELL_MS) {
        w->told_ms = now_ms;
        tell_work(e, w, begun);
    }
    (void)pthread_mutex_unlock(&e->lock);
    return stop;
}

int lev_work_step(lev_events *e, lev_work *w, int done, int all, const char *what)
{
    (void)pthread_mutex_lock(&e->lock);
    const int stop = w->cancelled ? 1 : 0;
    w->done = done;
    w->all = all;
    (void)snprintf(w->what, sizeof w->what, "%.60s", what);
    tell_work(e, w, 0);
    (void)pthread_mutex_unlock(&e->lock);
    return stop;
}
