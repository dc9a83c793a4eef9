/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See app_plan_team.h. */
#include "app_plan_team.h"

#include <pthread.h>
#include <stdbool.h>
#include <unistd.h>

#include "mem.h"
#include "pool.h"

enum { THREADS_MOST = 16 };

typedef struct team_face {
    struct team *team;
    ptrdiff_t begun_last;
    lev_status st;
    lev_error err;
} team_face;

typedef struct team {
    lev_plan_answer *a;
    team_face *face; /* [a->faces] */
    pthread_mutex_t lock;
    int begun;     /* under lock */
    bool unwanted; /* under lock */
} team;

ptrdiff_t lev_plan_rise(ptrdiff_t *last, ptrdiff_t labels)
{
    const ptrdiff_t more = labels < *last ? labels : labels - *last;
    *last = labels;
    return more;
}

/* The call-backs are those of a plan on one thread. */
static int is_unwanted(void *payload, ptrdiff_t labels)
{
    team_face *f = payload;
    team *t = f->team;
    const lev_plan_from *from = &t->a->from;
    pthread_mutex_lock(&t->lock);
    t->a->begun += lev_plan_rise(&f->begun_last, labels);
    t->unwanted = t->unwanted || (from->unwanted != NULL &&
                                  from->unwanted(from->to, t->a->begun) != 0);
    const bool unwanted = t->unwanted;
    pthread_mutex_unlock(&t->lock);
    return unwanted;
}

static bool may_begin(team *t, const char *name)
{
    const lev_plan_from *from = &t->a->from;
    pthread_mutex_lock(&t->lock);
    if (!t->unwanted && from->step != NULL)
        t->unwanted =
            from->step(from->to, t->begun, (int)t->a->job->faces_n, name) != 0;
    t->begun++;
    const bool begin = !t->unwanted;
    pthread_mutex_unlock(&t->lock);
    return begin;
}

static void plan_one(void *payload, ptrdiff_t i)
{
    team *t = payload;
    lev_plan_face_answer *f = &t->a->face[i];
    team_face *out = &t->face[i];
    const lev_plan_limits limits = {.progress = is_unwanted, .payload = out};
    out->team = t;
    if (!may_begin(t, f->asked->name))
        out->st = lev_fail(&out->err, LEV_E_CANCEL, "cancelled");
    else if (f->leave == NULL)
        out->st = lev_face_plan(&f->face, &limits, &f->result, &out->err);
}

lev_status lev_plan_team(lev_plan_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    team t = {.a = a};
    void *p = NULL;
    sim_pool *pool = NULL;
    const long cores = sysconf(_SC_NPROCESSORS_ONLN);
    const ptrdiff_t most = cores < 1 ? 1 : cores < THREADS_MOST ? cores : THREADS_MOST;
    pthread_mutex_init(&t.lock, NULL);
    LEV_TRY(
        lev_mem_new((size_t)(a->faces > 0 ? a->faces : 1), sizeof *t.face, &p, err));
    t.face = p;
    LEV_TRY(sim_pool_new((int)(a->faces < most ? a->faces : most), &pool, err));
    sim_pool_run(pool, a->faces, plan_one, &t);
    for (ptrdiff_t i = 0; i < a->faces && st >= 0; i++)
        if (t.face[i].st < 0) {
            *err = t.face[i].err;
            st = t.face[i].st;
        }
out:
    sim_pool_free(pool);
    pthread_mutex_destroy(&t.lock);
    lev_mem_free(t.face);
    return st;
}
