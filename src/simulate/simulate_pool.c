/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pool that sleeps between jobs. See pool.h. */
#include "pool.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>

#include "mem.h"

struct sim_pool {
    pthread_t *thread; /* the helpers, n_helper of them */
    int n_helper;
    pthread_mutex_t lock;
    pthread_cond_t begin, end;
    long job;      /* number of the job at hand, under lock */
    int busy;      /* helpers still at it, under lock */
    bool closing;  /* under lock */
    sim_tile tile; /* the job: constant while it runs */
    void *payload;
    ptrdiff_t n;
    atomic_ptrdiff_t next;
};

static void work(sim_pool *p)
{
    for (;;) {
        const ptrdiff_t i = atomic_fetch_add(&p->next, 1);
        if (i >= p->n)
            return;
        p->tile(p->payload, i);
    }
}

static void *helper(void *arg)
{
    sim_pool *const p = arg;
    long done = 0;
    pthread_mutex_lock(&p->lock);
    for (;;) {
        while (p->job == done && !p->closing)
            pthread_cond_wait(&p->begin, &p->lock);
        if (p->closing)
            break;
        done = p->job;
        pthread_mutex_unlock(&p->lock);
        work(p);
        pthread_mutex_lock(&p->lock);
        p->busy--;
        if (p->busy == 0)
            pthread_cond_signal(&p->end);
    }
    pthread_mutex_unlock(&p->lock);
    return NULL;
}

lev_status sim_pool_new(int threads, sim_pool **out, lev_error *err)
{
    lev_status st;
    sim_pool *p = NULL;

    LEV_TRY(lev_mem_new(1, sizeof *p, (void **)&p, err));
    pthread_mutex_init(&p->lock, NULL);
    pthread_cond_init(&p->begin, NULL);
    pthread_cond_init(&p->end, NULL);
    LEV_TRY(lev_mem_new((size_t)threads, sizeof *p->thread, (void **)&p->thread, err));
    for (; p->n_helper < threads - 1; p->n_helper++) {
        if (pthread_create(&p->thread[p->n_helper], NULL, helper, p) != 0)
            LEV_TRY(lev_fail(err, LEV_E_SYSTEM, "no thread %d could be started",
                             p->n_helper + 2));
    }
    *out = p;
    p = NULL;
out:
    sim_pool_free(p);
    return st;
}

void sim_pool_free(sim_pool *p)
{
    if (!p)
        return;
    pthread_mutex_lock(&p->lock);
    p->closing = true;
    pthread_cond_broadcast(&p->begin);
    pthread_mutex_unlock(&p->lock);
    for (int i = 0; i < p->n_helper; i++)
        pthread_join(p->thread[i], NULL);
    pthread_cond_destroy(&p->end);
    pthread_cond_destroy(&p->begin);
    pthread_mutex_destroy(&p->lock);
    lev_mem_free(p->thread);
    lev_mem_free(p);
}

void sim_pool_run(sim_pool *p, ptrdiff_t n, sim_tile tile, void *payload)
{
    p->tile = tile;
    p->payload = payload;
    p->n = n;
    atomic_store(&p->next, 0);
    if (p->n_helper == 0 || n < 2) {
        work(p);
        return;
    }
    pthread_mutex_lock(&p->lock);
    p->job++;
    p->busy = p->n_helper;
    pthread_cond_broadcast(&p->begin);
    pthread_mutex_unlock(&p->lock);
    work(p);
    pthread_mutex_lock(&p->lock);
    while (p->busy > 0)
        pthread_cond_wait(&p->end, &p->lock);
    pthread_mutex_unlock(&p->lock);
}
