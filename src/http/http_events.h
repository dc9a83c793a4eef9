/* SPDX-License-Identifier: GPL-3.0-or-later */
/* News for the pages that listen, and the long jobs it is about. */
#ifndef HTTP_EVENTS_H
#define HTTP_EVENTS_H

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "http.h"

enum {
    LEV_EVENTS_KEPT = 64,  /* a listener that was away gets these again */
    LEV_EVENT_BYTES = 320, /* one message */
    LEV_EVENTS_LISTENERS = 16,
    LEV_WORK_MAX = 64, /* long jobs at a time, waiting ones included */
    LEV_WORK_NAME = 33,
    LEV_WORK_TELL_MS = 250 /* between two news from within a part */
};

typedef struct lev_work {
    char name[LEV_WORK_NAME]; /* chosen by the page; "" = free */
    bool cancelled;
    int done, all; /* as last told ... */
    char what[61];
    int64_t told_ms; /* ... at this instant; 0: never */
} lev_work;

typedef struct lev_events {
    pthread_mutex_t lock;
    pthread_cond_t news;
    unsigned long last; /* number of the newest message, from 1 */
    char kept[LEV_EVENTS_KEPT][LEV_EVENT_BYTES];
    int listeners;
    bool stopping;
    lev_work work[LEV_WORK_MAX];
    int running, running_max;
    unsigned long last_ticket, now_serving; /* who came first goes first */
} lev_events;

/** @param running_max  long jobs that run at once; the others wait */
void lev_events_init(lev_events *e, int running_max);
void lev_events_release(lev_events *e);
/** Let every listener and waiter go home. */
void lev_events_stop(lev_events *e);

/** A place for one more listener. */
bool lev_events_join(lev_events *e);
void lev_events_leave(lev_events *e);
/** Wait for news after message `seen`, at most wait_s seconds; copies the next message
 * as one event-stream block, or a comment when there is none. @return bytes, -1 at the
 * end */
long lev_events_next(lev_events *e, unsigned long *seen, int wait_s, char *out,
                     size_t max);

/** Tell every listener that something of the shop changed: a word, such as "drawer". */
void lev_events_tell(lev_events *e, const char *what);

/** Begin a long job under the name a page chose (may be NULL) and wait for its turn.
 * NULL when there are too many or the name is taken. */
lev_work *lev_work_begin(lev_events *e, const char *name);
void lev_work_end(lev_events *e, lev_work *w);
/** Ask a job to stop; false when there is none of that name. */
bool lev_work_cancel(lev_events *e, const char *name);
/** Shall it stop? Within a part of the work: tells the listeners now and then how many
 * ladders its search has begun; 0: tells nobody. @return non-zero when it shall */
int lev_work_search(lev_events *e, lev_work *w, ptrdiff_t begun, int64_t now_ms);
/** Tell the listeners how far w is. @return non-zero when it shall stop */
int lev_work_step(lev_events *e, lev_work *w, int done, int all, const char *what);

#endif
