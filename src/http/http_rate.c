/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See http_rate.h. */
#include "http_rate.h"

void lev_rate_init(lev_rate *r)
{
    *r = (lev_rate){0};
    (void)pthread_mutex_init(&r->lock, NULL);
}

void lev_rate_release(lev_rate *r)
{
    (void)pthread_mutex_destroy(&r->lock);
}

/* The bucket of an address, else the one unheard longest. */
static int bucket_of(const lev_rate *r, uint64_t address)
{
    int oldest = 0;
    for (int i = 0; i < LEV_RATE_ADDRESSES; i++) {
        if (r->bucket[i].at_ms != 0 && r->bucket[i].address == address)
            return i;
        if (r->bucket[i].at_ms < r->bucket[oldest].at_ms)
            oldest = i;
    }
    return oldest;
}

bool lev_rate_take(lev_rate *r, uint64_t address, int64_t now_ms)
{
    (void)pthread_mutex_lock(&r->lock);
    const int i = bucket_of(r, address);
    const bool known = r->bucket[i].at_ms != 0 && r->bucket[i].address == address;
    const double since_s = known ? 1e-3 * (double)(now_ms - r->bucket[i].at_ms) : 0.0;
    double drops =
        known ? r->bucket[i].drops + LEV_RATE_EACH_S * since_s : (double)LEV_RATE_FULL;
    if (drops > LEV_RATE_FULL)
        drops = LEV_RATE_FULL;
    const bool granted = drops >= 1.0;
    r->bucket[i].address = address;
    r->bucket[i].at_ms = now_ms;
    r->bucket[i].drops = granted ? drops - 1.0 : drops;
    (void)pthread_mutex_unlock(&r->lock);
    return granted;
}
