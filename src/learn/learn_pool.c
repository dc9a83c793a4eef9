/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Factors pooled in part. See learn.h.
 *
 * y of an entry = shop + family + material + drive + mineral + who + cell + noise, each
 * effect normal about 0 with the prior's standard deviation in units of the noise. The
 * effect of a cell (one combination) with weight W and mean y is integrated out: the
 * cell becomes one row of weight 1/(tau2 + 1/W), and comes back when it is asked for:
 * share tau2/(tau2 + 1/W) of what its mean differs from the sum of its levels. */
#include "levigate/learn.h"

#include <math.h>
#include <string.h>

#include "mem.h"
#include "num.h"

/* What the entries of one cell come to. */
typedef struct cell_sum {
    double weight, mean, square; /* square: weighted, about the mean */
    ptrdiff_t n;
} cell_sum;

struct lev_pool {
    lev_pool_prior prior;
    ptrdiff_t cells_n, facts_n;
    lev_pool_cell *cells;
    const lev_pool_fact *facts; /* borrowed, during the fit only */
    cell_sum *sum;
    double *weight; /* of each entry, from the outlier rule */
    double *base;   /* of each entry, from how it was read */
    int first[LEV_POOL_BY_N], levels[LEV_POOL_BY_N], k;
    double *x, *mean; /* k each */
    lev_nig fit;
};

static double square(double x)
{
    return x * x;
}

/* Variance in units of the noise. */
static double ratio(const lev_pool *p, double sd)
{
    return square(sd / p->prior.noise);
}

void lev_pool_free(lev_pool *p)
{
    if (p == NULL)
        return;
    lev_nig_release(&p->fit);
    lev_mem_free(p->cells);
    lev_mem_free(p->sum);
    lev_mem_free(p->weight);
    lev_mem_free(p->base);
    lev_mem_free(p->x);
    lev_mem_free(p->mean);
    lev_mem_free(p);
}

static lev_status check(const lev_pool_prior *q, const lev_pool_cell *cells,
                        ptrdiff_t cells_n, const lev_pool_fact *facts,
                        ptrdiff_t facts_n, lev_error *err)
{
    bool good = q->shop > 0.0 && q->cell >= 0.0 && q->noise > 0.0 &&
                q->noise_dof > 0.0 && q->outlier_dof >= 0.0;
    for (int i = 0; i < LEV_POOL_BY_N; i++)
        good = good && q->by[i] > 0.0;
    if (!good)
        return lev_fail(err, LEV_E_RANGE,
                        "prior spreads should be positive numbers of ln");
    for (ptrdiff_t i = 0; i < facts_n; i++)
        if (facts[i].cell < 0 || facts[i].cell >= cells_n || !isfinite(facts[i].y) ||
            !(facts[i].variance >= 0.0))
            return lev_fail(err, LEV_E_RANGE, "entry %td is out of range (ln %g)", i,
                            facts[i].y);
    for (ptrdiff_t c = 0; c < cells_n; c++)
        for (int i = 0; i < LEV_POOL_BY_N; i++)
            if (cells[c].level[i] < 0 || cells[c].level[i] >= LEV_NIG_MAX)
                return lev_fail(err, LEV_E_LIMIT, "more than %d names of one kind",
                                LEV_NIG_MAX);
    return LEV_OK;
}

static lev_status take_memory(lev_pool *p, const lev_pool_cell *cells, lev_error *err)
{
    lev_status st = LEV_OK;
    void *m = NULL;
    const size_t c = (size_t)p->cells_n, n = (size_t)p->facts_n;
    LEV_TRY(lev_mem_new(c, sizeof *p->cells, &m, err));
    p->cells = m;
    if (c > 0)
        memcpy(p->cells, cells, c * sizeof *cells);
    LEV_TRY(lev_mem_new(c, sizeof *p->sum, &m, err));
    p->sum = m;
    LEV_TRY(lev_mem_new(n, sizeof *p->weight, &m, err));
    p->weight = m;
    LEV_TRY(lev_mem_new(n, sizeof *p->base, &m, err));
    p->base = m;
    p->k = 1;
    for (int i = 0; i < LEV_POOL_BY_N; i++) {
        p->first[i] = p->k;
        for (size_t j = 0; j < c; j++)
            if (cells[j].level[i] >= p->levels[i])
                p->levels[i] = cells[j].level[i] + 1;
        p->k += p->levels[i];
    }
    if (p->k > LEV_NIG_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT,
                         "%d names of people, drives and materials; "
                         "at most %d fit",
                         p->k, LEV_NIG_MAX));
    LEV_TRY(lev_mem_new((size_t)p->k, sizeof *p->x, &m, err));
    p->x = m;
    LEV_TRY(lev_mem_new((size_t)p->k, sizeof *p->mean, &m, err));
    p->mean = m;
out:
    return st;
}

/* The row of a cell; returns the variance of its levels nobody has seen. */
static double fill_row(const lev_pool *p, const lev_pool_cell *cell)
{
    double unseen = 0.0;
    memset(p->x, 0, (size_t)p->k * sizeof *p->x);
    p->x[0] = 1.0;
    for (int i = 0; i < LEV_POOL_BY_N; i++) {
        const int level = cell->level[i];
        if (level >= 0 && level < p->levels[i])
            p->x[p->first[i] + level] = 1.0;
        else
            unseen += ratio(p, p->prior.by[i]);
    }
    return unseen;
}

static double row_mean(const lev_pool *p)
{
    double sum = 0.0;
    for (int j = 0; j < p->k; j++)
        sum += p->x[j] * p->mean[j];
    return sum;
}

/* Weighted count, mean and square of every cell, in two passes. */
static void sum_cells(lev_pool *p)
{
    memset(p->sum, 0, (size_t)p->cells_n * sizeof *p->sum);
    for (ptrdiff_t i = 0; i < p->facts_n; i++) {
        cell_sum *s = &p->sum[p->facts[i].cell];
        const double w = p->weight[i] * p->base[i];
        s->n++;
        s->weight += w;
        s->mean += w * p->facts[i].y;
    }
    for (ptrdiff_t c = 0; c < p->cells_n; c++)
        if (p->sum[c].weight > 0.0)
            p->sum[c].mean /= p->sum[c].weight;
    for (ptrdiff_t i = 0; i < p->facts_n; i++) {
        cell_sum *s = &p->sum[p->facts[i].cell];
        s->square += p->weight[i] * p->base[i] * square(p->facts[i].y - s->mean);
    }
}

static lev_status begin_fit(lev_pool *p, lev_error *err)
{
    lev_status st = LEV_OK;
    void *m = NULL;
    double *lambda = NULL;
    const size_t k = (size_t)p->k;
    const double a = 0.5 * p->prior.noise_dof;
    LEV_TRY(lev_mem_new(k * k, sizeof *lambda, &m, err));
    lambda = m;
    lambda[0] = 1.0 / ratio(p, p->prior.shop);
    for (int i = 0; i < LEV_POOL_BY_N; i++)
        for (int l = 0; l < p->levels[i]; l++)
            lambda[(size_t)(p->first[i] + l) * (k + 1)] =
                1.0 / ratio(p, p->prior.by[i]);
    lev_nig_release(&p->fit);
    LEV_TRY(
        lev_nig_init(&p->fit, p->k, NULL, lambda, a, a * square(p->prior.noise), err));
out:
    lev_mem_free(lambda);
    return st;
}

static lev_status fit_once(lev_pool *p, lev_error *err)
{
    lev_status st = LEV_OK;
    const double tau2 = ratio(p, p->prior.cell);
    sum_cells(p);
    LEV_TRY(begin_fit(p, err));
    for (ptrdiff_t c = 0; c < p->cells_n; c++) {
        const cell_sum *s = &p->sum[c];
        if (!(s->weight > 0.0))
            continue;
        (void)fill_row(p, &p->cells[c]);
        lev_nig_add(&p->fit, p->x, s->mean, 1.0 / (tau2 + 1.0 / s->weight));
        p->fit.a += 0.5 * (double)(s->n - 1);
        p->fit.b += 0.5 * s->square;
    }
    LEV_TRY(lev_nig_mean(&p->fit, p->mean, err));
out:
    return st;
}

/* ln factor of a cell and its variance in units of the noise. */
static lev_status cell_factor(const lev_pool *p, const lev_pool_cell *cell, ptrdiff_t c,
                              double *loc, double *variance, lev_error *err)
{
    double leverage = 0.0, share = 0.0;
    const double tau2 = ratio(p, p->prior.cell);
    const double unseen = fill_row(p, cell);
    const lev_status st = lev_nig_leverage(&p->fit, p->x, &leverage, err);
    if (st < 0)
        return st;
    *loc = row_mean(p);
    if (c >= 0 && p->sum[c].weight > 0.0) {
        share = tau2 / (tau2 + 1.0 / p->sum[c].weight);
        *loc += share * (p->sum[c].mean - *loc);
    }
    *variance = square(1.0 - share) * leverage + tau2 * (1.0 - share) + unseen;
    return LEV_OK;
}

typedef struct cell_fit {
    double loc, variance;
} cell_fit;

/* Noise about the fitted cells alone. The fit's own b also holds how far the levels had
 * to move from the prior; judged by that, one wild entry would excuse itself. */
static double noise_about(const lev_pool *p, const cell_fit *cell)
{
    double sum = 0.5 * p->prior.noise_dof * square(p->prior.noise);
    for (ptrdiff_t i = 0; i < p->facts_n; i++)
        sum += 0.5 * p->weight[i] * p->base[i] *
               square(p->facts[i].y - cell[p->facts[i].cell].loc);
    return sum / (0.5 * (p->prior.noise_dof + (double)p->facts_n));
}

/* New weights from the fit (from the prior on the first round); *moved = the largest
 * change. */
static lev_status weigh(lev_pool *p, bool first, double *moved, lev_error *err)
{
    lev_status st = LEV_OK;
    void *m = NULL;
    cell_fit *cell = NULL;
    const double nu = p->prior.outlier_dof;
    LEV_TRY(lev_mem_new((size_t)p->cells_n, sizeof *cell, &m, err));
    cell = m;
    for (ptrdiff_t c = 0; c < p->cells_n && !first; c++)
        LEV_TRY(cell_factor(p, &p->cells[c], c, &cell[c].loc, &cell[c].variance, err));
    const double noise2 = first ? square(p->prior.noise) : noise_about(p, cell);
    *moved = 0.0;
    for (ptrdiff_t i = 0; i < p->facts_n; i++) {
        const int c = p->facts[i].cell;
        const double r2 =
            square(p->facts[i].y - cell[c].loc) / noise2 + cell[c].variance;
        const double w = (nu + 1.0) / (nu + p->base[i] * r2);
        *moved = fmax(*moved, fabs(w - p->weight[i]));
        p->weight[i] = w;
    }
out:
    lev_mem_free(m);
    return st;
}

static lev_status fit_all(lev_pool *p, lev_error *err)
{
    enum { ROUNDS = 40 };
    lev_status st = LEV_OK;
    double moved = 1.0;
    for (ptrdiff_t i = 0; i < p->facts_n; i++) {
        p->weight[i] = 1.0;
        p->base[i] = 1.0 / (1.0 + p->facts[i].variance / square(p->prior.noise));
    }
    if (p->prior.outlier_dof > 0.0 && p->facts_n > 0)
        LEV_TRY(weigh(p, true, &moved, err));
    LEV_TRY(fit_once(p, err));
    if (!(p->prior.outlier_dof > 0.0) || p->facts_n == 0)
        goto out;
    for (int round = 0; round < ROUNDS && moved > 2e-3; round++) {
        LEV_TRY(weigh(p, false, &moved, err));
        LEV_TRY(fit_once(p, err));
    }
out:
    return st;
}

lev_status lev_pool_fit(const lev_pool_prior *prior, const lev_pool_cell *cells,
                        ptrdiff_t cells_n, const lev_pool_fact *facts,
                        ptrdiff_t facts_n, lev_pool **out, lev_error *err)
{
    lev_status st = LEV_OK;
    void *m = NULL;
    lev_pool *p = NULL;
    LEV_TRY(check(prior, cells, cells_n, facts, facts_n, err));
    LEV_TRY(lev_mem_new(1, sizeof *p, &m, err));
    p = m;
    p->prior = *prior;
    p->cells_n = cells_n;
    p->facts_n = facts_n;
    p->facts = facts;
    LEV_TRY(take_memory(p, cells, err));
    LEV_TRY(fit_all(p, err));
    p->facts = NULL;
    *out = p;
    p = NULL;
out:
    lev_pool_free(p);
    return st;
}

/* With weighting on, the noise of a next entry has the tails the entries were weighted
 * by; excess tails add with the square of the share of variance. */
static double next_dof(const lev_pool *p, double variance)
{
    const double dof = 2.0 * p->fit.a, nu = p->prior.outlier_dof;
    const double share2 = square(1.0 / (1.0 + variance));
    return nu > 0.0 && nu < dof ? 1.0 / (share2 / nu + (1.0 - share2) / dof) : dof;
}

static lev_spread spread_of(lev_student s)
{
    const double low = lev_student_quantile(s, 0.1);
    return (lev_spread){exp(low), exp(s.loc), exp(2.0 * s.loc - low)};
}

lev_status lev_pool_factor(const lev_pool *p, const lev_pool_cell *cell,
                           lev_factor *out, lev_error *err)
{
    double loc = 0.0, variance = 0.0, before = ratio(p, p->prior.shop);
    ptrdiff_t at = -1;
    for (ptrdiff_t c = 0; c < p->cells_n && at < 0; c++)
        if (memcmp(&p->cells[c], cell, sizeof *cell) == 0)
            at = c;
    const lev_status st = cell_factor(p, cell, at, &loc, &variance, err);
    if (st < 0)
        return st;
    for (int i = 0; i < LEV_POOL_BY_N; i++)
        before += ratio(p, p->prior.by[i]);
    before += ratio(p, p->prior.cell);
    const double noise2 = p->fit.b / p->fit.a;
    lev_factor f = {.factor = exp(loc),
                    .lnsd = sqrt(noise2 * variance),
                    .share = fmax(0.0, 1.0 - variance / before),
                    .same = at >= 0 ? p->sum[at].n : 0,
                    .all = p->facts_n};
    f.ln_factor = (lev_student){2.0 * p->fit.a, loc, f.lnsd};
    f.ln_next =
        (lev_student){next_dof(p, variance), loc, sqrt(noise2 * (1.0 + variance))};
    f.factor_band = spread_of(f.ln_factor);
    f.next = spread_of(f.ln_next);
    *out = f;
    return LEV_OK;
}

double lev_pool_weight(const lev_pool *p, ptrdiff_t i)
{
    return p->weight[i];
}
