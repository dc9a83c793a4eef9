/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several readings of one face judged together. See app_trace_set.h. */
#include "app_trace_set.h"

#include <stdio.h>
#include <string.h>

#include "json.h"
#include "mem.h"

/* All readings of one symbol, file after file. */
static lev_status gather(const lev_trace_set *s, const char *symbol, double **x, int *n,
                         lev_error *err)
{
    void *p = NULL;
    const lev_status st =
        lev_mem_new((size_t)s->n * LEV_TRACE_READINGS, sizeof(double), &p, err);
    *x = p;
    *n = 0;
    for (ptrdiff_t i = 0; st == LEV_OK && i < s->n; i++)
        *n += lev_app_trace_readings(&s->reading[i], symbol, *x + *n);
    return st;
}

/* The first reading without that symbol; s->n when all have it. */
static ptrdiff_t first_without(const lev_trace_set *s, const char *symbol)
{
    double x[LEV_TRACE_READINGS];
    ptrdiff_t i = 0;
    while (i < s->n && lev_app_trace_readings(&s->reading[i], symbol, x) > 0)
        i++;
    return i;
}

/* A limit of the request must be held; one of the job may be of another kind than the
 * files, and that is said. */
static lev_status hold(lev_trace_set *s, const lev_trace_limit *l, bool asked,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    double *x = NULL;
    int n = 0;
    const ptrdiff_t without = first_without(s, l->symbol);
    if (without < s->n) {
        const bool map = s->reading[without].is_map;
        if (asked)
            LEV_TRY(lev_fail(err, LEV_E_USAGE, "no %s in a %s to hold against a limit",
                             l->symbol, map ? "map" : "trace"));
        (void)snprintf(s->not_held, sizeof s->not_held,
                       "it is in %s, which a %s does not have; give %s", l->symbol,
                       map ? "map" : "trace", map ? "traces across the lay" : "maps");
        goto out;
    }
    LEV_TRY(gather(s, l->symbol, &x, &n, err));
    lev_trace_held *h = &s->held[s->helds];
    h->limit = *l;
    LEV_TRY(lev_accept(x, n, l->um, !l->below, l->rule, &h->outcome, err));
    s->helds++;
out:
    lev_mem_free(x);
    return st;
}

static int weight(lev_verdict v)
{
    return v == LEV_VERDICT_KEEP_AT_IT ? 2 : v == LEV_VERDICT_CANNOT_TELL ? 1 : 0;
}

/* One leftover line anywhere keeps the face: the worst reading decides. */
static void worst_verdict(lev_trace_set *s)
{
    for (ptrdiff_t i = 0; i < s->n; i++) {
        const lev_trace_answer *a = &s->reading[i];
        if (!a->has_verdict)
            continue;
        if (s->has_verdict && weight(a->verdict.verdict) <= weight(s->verdict.verdict))
            continue;
        s->has_verdict = true;
        s->verdict = a->verdict;
        s->decides = i;
    }
}

static lev_status measure_all(const lev_trace_request *req, lev_trace_set *s,
                              ptrdiff_t n, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_trace_request one = *req;
    /* a limit that is not due yet belongs to a finer face than this, and so does the
     * cut-off that goes with it */
    const lev_trace_limit *cutoff = s->due ? lev_app_cutoff_limit(req) : NULL;
    one.limits = 0;
    if (cutoff != NULL) {
        one.set.limit_symbol = cutoff->symbol;
        one.set.limit_um = cutoff->um;
    }
    LEV_TRY(lev_mem_new((size_t)n, sizeof *s->reading, &p, err));
    s->reading = p;
    for (; s->n < n; s->n++) {
        one.path = s->path[s->n];
        LEV_TRY(lev_app_trace(&one, &s->reading[s->n], err));
    }
out:
    return st;
}

lev_status lev_app_trace_set(const lev_trace_request *req, const char *const *path,
                             ptrdiff_t n, const lev_trace_step *step,
                             const lev_accept_rule *accept, lev_trace_set *out,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace_set s = {.path = path, .due = true};
    lev_trace_request q = *req;
    if (step != NULL)
        LEV_TRY(lev_app_trace_step(step, accept, &q, &s, err));
    LEV_TRY(measure_all(&q, &s, n, err));
    for (int i = 0; i < q.limits; i++)
        LEV_TRY(hold(&s, &q.limit[i], req->limits > 0, err));
    worst_verdict(&s);
    *out = s;
    s = (lev_trace_set){0};
out:
    lev_trace_set_release(&s);
    return st;
}

void lev_trace_set_release(lev_trace_set *s)
{
    if (s == NULL)
        return;
    for (ptrdiff_t i = 0; i < s->n; i++)
        lev_trace_answer_release(&s->reading[i]);
    lev_mem_free(s->reading);
    *s = (lev_trace_set){0};
}

bool lev_trace_set_is_no(const lev_trace_set *s)
{
    if (s->has_verdict && s->verdict.verdict != LEV_VERDICT_NEXT_GRIT)
        return true;
    for (int i = 0; s->due && i < s->helds; i++)
        if (!s->held[i].outcome.accepted)
            return true;
    return false;
}
