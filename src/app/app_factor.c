/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the log has taught, for a person to judge. See app_factor.h. */
#include "app_factor.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "levigate/material.h"
#include "mem.h"

static bool told(const char *s)
{
    return s != NULL && s[0] != '\0';
}

static lev_status read_quantity(const char *word, lev_quantity *out, lev_error *err)
{
    *out = LEV_QUANTITY_REMOVAL;
    if (!told(word))
        return LEV_OK;
    for (int q = 0; q < LEV_QUANTITY_N; q++)
        if (lev_text_same(word, lev_quantity_name((lev_quantity)q))) {
            *out = (lev_quantity)q;
            return LEV_OK;
        }
    return lev_fail(err, LEV_E_USAGE,
                    "\"%.40s\" is nothing the log teaches; known: removal, life, "
                    "texture, gloss",
                    word);
}

static bool wanted(const lev_factor_ask *ask, const lev_store_cell *c)
{
    return (!told(ask->material) || lev_text_same(ask->material, c->material)) &&
           (!told(ask->drive) || lev_text_same(ask->drive, c->drive)) &&
           (!told(ask->mineral) || lev_text_same(ask->mineral, c->mineral)) &&
           (!told(ask->who) || lev_text_same(ask->who, c->who));
}

static lev_store_cell copy_cell(const lev_store_cell *c, lev_arena *arena,
                                lev_status *st, lev_error *err)
{
    return (lev_store_cell){.family = lev_shop_copy(arena, c->family, st, err),
                            .material = lev_shop_copy(arena, c->material, st, err),
                            .drive = lev_shop_copy(arena, c->drive, st, err),
                            .mineral = lev_shop_copy(arena, c->mineral, st, err),
                            .who = lev_shop_copy(arena, c->who, st, err)};
}

static lev_status add_row(const lev_shop_factors *f, const lev_store_cell *cell,
                          lev_factor_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_factor_row *row = &a->row[a->rows];
    LEV_TRY(lev_shop_factor(f, a->quantity, cell, &row->f, err));
    row->cell = copy_cell(cell, &a->arena, &st, err);
    a->rows += st >= 0;
out:
    return st;
}

/* A combination that was asked for but never logged. */
static lev_status add_unlogged(const lev_shop_factors *f, const lev_factor_ask *ask,
                               lev_factor_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_material m = {.id = "", .family = ""};
    if (told(ask->material))
        LEV_TRY(lev_material_find(ask->material, &m, err));
    const lev_store_cell cell = {.family = m.family,
                                 .material = m.id,
                                 .drive = ask->drive,
                                 .mineral = ask->mineral,
                                 .who = ask->who};
    LEV_TRY(add_row(f, &cell, a, err));
out:
    return st;
}

static lev_status find_rows(const lev_shop_factors *f, const lev_factor_ask *ask,
                            lev_factor_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    const bool narrowed =
        told(ask->material) || told(ask->drive) || told(ask->mineral) || told(ask->who);
    LEV_TRY(lev_mem_new((size_t)f->cells + 1, sizeof *a->row, &p, err));
    a->row = p;
    for (ptrdiff_t i = 0; i < f->cells; i++) {
        bool spoken = false; /* some fact is about it: the first of its spellings */
        for (ptrdiff_t k = 0; k < f->log[a->quantity].n && !spoken; k++)
            spoken = f->log[a->quantity].fact[k].cell == i;
        if (spoken && wanted(ask, &f->cell[i]))
            LEV_TRY(add_row(f, &f->cell[i], a, err));
    }
    if (a->rows == 0 && narrowed)
        LEV_TRY(add_unlogged(f, ask, a, err));
out:
    return st;
}

/* ---- planned against what was, month by month ---- */

static void month_of(int64_t at_s, int *year, int *month)
{
    const time_t at = (time_t)at_s;
    struct tm t = {0};
    (void)localtime_r(&at, &t);
    *year = t.tm_year + 1900;
    *month = t.tm_mon + 1;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The middle one of n misses as a ratio. */
static double typical(double *miss, ptrdiff_t n)
{
    qsort(miss, (size_t)n, sizeof *miss, by_size);
    return exp(n % 2 != 0 ? miss[n / 2] : 0.5 * (miss[n / 2 - 1] + miss[n / 2]));
}

/* Entries first .. last - 1 are one month; only what came before may speak. */
static lev_status judge_month(const lev_shop_factors *f, lev_quantity q,
                              ptrdiff_t first, ptrdiff_t last, lev_factor_month *out,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_fact_log *l = &f->log[q];
    const lev_pool_prior prior = lev_factor_prior(q);
    const ptrdiff_t n = last - first;
    lev_pool *before = NULL;
    double *miss = NULL;
    LEV_TRY(lev_mem_new(2 * (size_t)n, sizeof *miss, (void **)&miss, err));
    LEV_TRY(lev_pool_fit(&prior, f->level, f->cells, l->fact, first, &before, err));
    month_of(l->at_s[first], &out->year, &out->month);
    out->entries = n;
    for (ptrdiff_t i = 0; i < n; i++) {
        const lev_pool_fact *x = &l->fact[first + i];
        lev_factor said;
        LEV_TRY(lev_pool_factor(before, &f->level[x->cell], &said, err));
        miss[i] = fabs(x->y);
        miss[n + i] = fabs(x->y - log(said.factor));
        out->inside += exp(x->y) >= said.next.p10 && exp(x->y) <= said.next.p90;
    }
    out->model_times = typical(miss, n);
    out->log_times = typical(miss + n, n);
out:
    lev_pool_free(before);
    lev_mem_free(miss);
    return st;
}

static bool same_month(int64_t a_s, int64_t b_s)
{
    int ya = 0, ma = 0, yb = 0, mb = 0;
    month_of(a_s, &ya, &ma);
    month_of(b_s, &yb, &mb);
    return ya == yb && ma == mb;
}

static lev_status find_months(const lev_shop_factors *f, lev_factor_answer *a,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_fact_log *l = &f->log[a->quantity];
    LEV_TRY(lev_mem_new((size_t)l->n + 1, sizeof *a->month, (void **)&a->month, err));
    for (ptrdiff_t i = 0, first = 0; i < l->n; i++)
        if (i + 1 == l->n || !same_month(l->at_s[first], l->at_s[i + 1])) {
            LEV_TRY(
                judge_month(f, a->quantity, first, i + 1, &a->month[a->months], err));
            a->months++;
            first = i + 1;
        }
out:
    return st;
}

static lev_status find_odd(const lev_shop_factors *f, lev_factor_answer *a,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_fact_log *l = &f->log[a->quantity];
    const double doubted = lev_entry_figure("odd_weight");
    LEV_TRY(lev_mem_new((size_t)l->n + 1, sizeof *a->odd, (void **)&a->odd, err));
    for (ptrdiff_t i = 0; i < l->n; i++) {
        const double w = lev_pool_weight(f->pool[a->quantity], i);
        if (w < doubted)
            a->odd[a->odds++] =
                (lev_factor_odd){l->log_id[i], l->at_s[i], exp(l->fact[i].y), w};
    }
out:
    return st;
}

static lev_status answer(const lev_shop_factors *f, const lev_factor_ask *ask,
                         lev_factor_answer *a, lev_error *err)
{
    static const lev_pool_cell nobody = {{-1, -1, -1, -1, -1}};
    lev_status st = LEV_OK;
    lev_pool *empty = NULL;
    const lev_pool_prior prior = lev_factor_prior(a->quantity);
    LEV_TRY(lev_pool_fit(&prior, NULL, 0, NULL, 0, &empty, err));
    LEV_TRY(lev_pool_factor(empty, &nobody, &a->before, err));
    LEV_TRY(lev_pool_factor(f->pool[a->quantity], &nobody, &a->shop, err));
    a->entries = f->log[a->quantity].n;
    LEV_TRY(find_rows(f, ask, a, err));
    LEV_TRY(find_months(f, a, err));
    LEV_TRY(find_odd(f, a, err));
out:
    lev_pool_free(empty);
    return st;
}

lev_status lev_app_factor(const lev_shop *shop, const lev_factor_ask *ask,
                          lev_factor_answer *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop_factors *f = NULL;
    lev_factor_answer a = {0};
    LEV_TRY(read_quantity(ask->quantity, &a.quantity, err));
    LEV_TRY(lev_shop_factors_read(shop, &f, err));
    LEV_TRY(answer(f, ask, &a, err));
    *out = a;
    a = (lev_factor_answer){0};
out:
    lev_shop_factors_free(f);
    lev_factor_answer_release(&a);
    return st;
}

void lev_factor_answer_release(lev_factor_answer *a)
{
    if (a == NULL)
        return;
    lev_mem_free(a->row);
    lev_mem_free(a->month);
    lev_mem_free(a->odd);
    lev_arena_release(&a->arena);
    *a = (lev_factor_answer){0};
}
