/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How often one address may write: a bucket of drops that fills again by itself. */
#ifndef HTTP_RATE_H
#define HTTP_RATE_H

#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>

enum {
    LEV_RATE_ADDRESSES = 64, /* remembered; the one unheard longest makes room */
    LEV_RATE_FULL = 400,     /* writes at once: a page that loads a hundred faces */
    LEV_RATE_EACH_S = 100    /* and so many a second for ever */
};

typedef struct lev_rate {
    pthread_mutex_t lock;
    struct {
        uint64_t address;
        double drops;
        int64_t at_ms; /* 0: free */
    } bucket[LEV_RATE_ADDRESSES];
} lev_rate;

void lev_rate_init(lev_rate *r);
void lev_rate_release(lev_rate *r);
/** One write from an address at an instant after 0; false: it came too often. */
bool lev_rate_take(lev_rate *r, uint64_t address, int64_t now_ms);

#endif
