/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the log to fitted factors, and from these to a face's plan. See app_factor.h. */
#include "app_factor.h"

#include <math.h>
#include <string.h>

#include "lev_tables.h"
#include "mem.h"

static const char *name_of(const lev_store_cell *c, int by)
{
    const char *const names[LEV_POOL_BY_N] = {c->family, c->material, c->drive,
                                              c->mineral, c->who};
    return names[by] != NULL ? names[by] : "";
}

static int find_name(const lev_names *names, const char *name)
{
    for (int i = 0; i < names->n; i++)
        if (lev_text_same(names->name[i], name))
            return i;
    return -1;
}

lev_pool_cell lev_factor_level(const lev_shop_factors *f, const lev_store_cell *cell)
{
    lev_pool_cell x;
    for (int by = 0; by < LEV_POOL_BY_N; by++)
        x.level[by] = find_name(&f->by[by], name_of(cell, by));
    return x;
}

lev_pool_prior lev_factor_prior(lev_quantity q)
{
    const lev_row_learn_pool *row = &lev_tab_learn_pool[0];
    for (int i = 0; i < LEV_TAB_LEARN_POOL_N; i++)
        if (strcmp(lev_tab_learn_pool[i].quantity, lev_quantity_name(q)) == 0)
            row = &lev_tab_learn_pool[i];
    return (lev_pool_prior){
        .shop = row->shop,
        .by = {row->family, row->material, row->drive, row->mineral, row->who},
        .cell = row->cell,
        .noise = row->noise,
        .noise_dof = row->noise_dof,
        .outlier_dof = row->outlier_dof};
}

/* ---- reading ---- */

typedef struct keep_cells {
    lev_shop_factors *f;
    ptrdiff_t room;
    lev_status st;
    lev_error *err;
} keep_cells;

static lev_status grow(void **p, ptrdiff_t n, ptrdiff_t room, size_t size,
                       lev_error *err)
{
    return lev_mem_grow(p, (size_t)n, (size_t)room, size, err);
}

static lev_status more_cells(keep_cells *k)
{
    lev_status st = LEV_OK;
    lev_shop_factors *f = k->f;
    const ptrdiff_t wanted = k->room > 0 ? 2 * k->room : 16;
    void *cell = f->cell, *id = f->cell_id, *level = f->level;
    LEV_TRY(grow(&cell, k->room, wanted, sizeof *f->cell, k->err));
    f->cell = cell;
    LEV_TRY(grow(&id, k->room, wanted, sizeof *f->cell_id, k->err));
    f->cell_id = id;
    LEV_TRY(grow(&level, k->room, wanted, sizeof *f->level, k->err));
    f->level = level;
    k->room = wanted;
out:
    return st;
}

static int add_name(keep_cells *k, int by, const char *name)
{
    lev_names *names = &k->f->by[by];
    const int at = find_name(names, name);
    if (at >= 0 || k->st < 0)
        return at;
    if (names->n == LEV_NAMES_MAX) {
        k->st = lev_fail(k->err, LEV_E_LIMIT,
                         "more than %d names of one kind in the "
                         "log",
                         LEV_NAMES_MAX);
        return -1;
    }
    names->name[names->n] = lev_shop_copy(&k->f->arena, name, &k->st, k->err);
    return names->n++;
}

static int keep_cell(void *to, int64_t id, const lev_store_cell *c)
{
    keep_cells *k = to;
    lev_shop_factors *f = k->f;
    if (f->cells == k->room)
        k->st = more_cells(k);
    if (k->st < 0)
        return 1;
    lev_pool_cell level;
    for (int by = 0; by < LEV_POOL_BY_N; by++)
        level.level[by] = add_name(k, by, name_of(c, by));
    if (k->st < 0)
        return 1;
    f->level[f->cells] = level;
    f->cell_id[f->cells] = id;
    f->cell[f->cells] =
        (lev_store_cell){f->by[0].name[level.level[0]], f->by[1].name[level.level[1]],
                         f->by[2].name[level.level[2]], f->by[3].name[level.level[3]],
                         f->by[4].name[level.level[4]]};
    f->cells++;
    return 0;
}

typedef struct keep_facts {
    lev_shop_factors *f;
    lev_fact_log *log;
    ptrdiff_t room;
    lev_status st;
    lev_error *err;
} keep_facts;

static lev_status more_facts(keep_facts *k)
{
    lev_status st = LEV_OK;
    lev_fact_log *l = k->log;
    const ptrdiff_t wanted = k->room > 0 ? 2 * k->room : 64;
    void *fact = l->fact, *at = l->at_s, *id = l->log_id;
    LEV_TRY(grow(&fact, k->room, wanted, sizeof *l->fact, k->err));
    l->fact = fact;
    LEV_TRY(grow(&at, k->room, wanted, sizeof *l->at_s, k->err));
    l->at_s = at;
    LEV_TRY(grow(&id, k->room, wanted, sizeof *l->log_id, k->err));
    l->log_id = id;
    k->room = wanted;
out:
    return st;
}

/* The same combination written in another case is the same one. */
static int cell_index(const lev_shop_factors *f, int64_t id)
{
    for (ptrdiff_t i = 0; i < f->cells; i++)
        if (f->cell_id[i] == id)
            for (ptrdiff_t first = 0; first <= i; first++)
                if (memcmp(&f->level[first], &f->level[i], sizeof f->level[i]) == 0)
                    return (int)first;
    return -1;
}

static int keep_fact(void *to, const lev_store_dated *x)
{
    keep_facts *k = to;
    lev_fact_log *l = k->log;
    const int cell = cell_index(k->f, x->cell_id);
    if (cell < 0)
        return 0;
    if (l->n == k->room)
        k->st = more_facts(k);
    if (k->st < 0)
        return 1;
    l->fact[l->n] = (lev_pool_fact){cell, x->ln_ratio, x->variance};
    l->at_s[l->n] = x->at_s;
    l->log_id[l->n] = x->log_id;
    l->n++;
    return 0;
}

static lev_status read_quantity(const lev_shop *shop, lev_shop_factors *f,
                                lev_quantity q, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_pool_prior prior = lev_factor_prior(q);
    lev_fact_log *l = &f->log[q];
    keep_facts k = {.f = f, .log = l, .err = err};
    LEV_TRY(lev_store_facts_dated(shop->store, q, (int)lev_entry_figure("facts_most"),
                                  keep_fact, &k, err));
    LEV_TRY(k.st);
    LEV_TRY(lev_pool_fit(&prior, f->level, f->cells, l->fact, l->n, &f->pool[q], err));
out:
    return st;
}

lev_status lev_shop_factors_read(const lev_shop *shop, lev_shop_factors **out,
                                 lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    LEV_TRY(lev_mem_new(1, sizeof(lev_shop_factors), &p, err));
    keep_cells k = {.f = p, .err = err};
    LEV_TRY(lev_store_cells(shop->store, keep_cell, &k, err));
    LEV_TRY(k.st);
    for (int q = 0; q < LEV_QUANTITY_N; q++)
        LEV_TRY(read_quantity(shop, k.f, (lev_quantity)q, err));
    *out = k.f;
    p = NULL;
out:
    lev_shop_factors_free(p);
    return st;
}

void lev_shop_factors_free(lev_shop_factors *f)
{
    if (f == NULL)
        return;
    for (int q = 0; q < LEV_QUANTITY_N; q++) {
        lev_pool_free(f->pool[q]);
        lev_mem_free(f->log[q].fact);
        lev_mem_free(f->log[q].at_s);
        lev_mem_free(f->log[q].log_id);
    }
    lev_mem_free(f->cell);
    lev_mem_free(f->cell_id);
    lev_mem_free(f->level);
    lev_arena_release(&f->arena);
    lev_mem_free(f);
}

ptrdiff_t lev_shop_factors_entries(const lev_shop_factors *f, lev_quantity q)
{
    return f->log[q].n;
}

lev_status lev_shop_factor(const lev_shop_factors *f, lev_quantity q,
                           const lev_store_cell *cell, lev_factor *out, lev_error *err)
{
    const lev_pool_cell level = lev_factor_level(f, cell);
    return lev_pool_factor(f->pool[q], &level, out, err);
}

/* ---- for a plan ---- */

ptrdiff_t lev_learned_find(const lev_learned *l, const char *drive, const char *mineral)
{
    for (ptrdiff_t i = 0; i < l->n; i++)
        if (strcmp(l->row[i].drive, drive) == 0 &&
            strcmp(l->row[i].mineral, mineral) == 0)
            return i;
    return -1;
}

/* What is left of the spread the model started with. */
static double sd_left(const lev_factor *f)
{
    return sqrt(fmax(0.0, fmin(1.0, 1.0 - f->share)));
}

static lev_status add_row(const lev_shop_factors *f, const lev_store_cell *cell,
                          lev_learned *l, lev_error *err)
{
    static const struct {
        lev_quantity q;
        lev_cut_factor to;
    } pairs[] = {{LEV_QUANTITY_REMOVAL, LEV_CUT_F_REMOVAL},
                 {LEV_QUANTITY_LIFE, LEV_CUT_F_LIFE},
                 {LEV_QUANTITY_TEXTURE, LEV_CUT_F_TEXTURE}};
    lev_status st = LEV_OK;
    lev_factor x[3];
    if (lev_learned_find(l, cell->drive, cell->mineral) >= 0)
        goto out;
    lev_face_factor *row = &l->row[l->n];
    *row = (lev_face_factor){.drive = cell->drive, .mineral = cell->mineral};
    for (int k = 0; k < LEV_CUT_FACTORS; k++)
        row->factor[k] = row->sd_left[k] = 1.0;
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        LEV_TRY(lev_shop_factor(f, pairs[i].q, cell, &x[i], err));
        row->factor[pairs[i].to] = x[i].factor;
        row->sd_left[pairs[i].to] = sd_left(&x[i]);
    }
    l->share[l->n] = x[0].share;
    l->entries[l->n] = x[0].same;
    l->n++;
out:
    return st;
}

static lev_status take_room(lev_learned *l, size_t n, lev_arena *arena, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    LEV_TRY(lev_arena_new(arena, n, sizeof *l->row, &p, err));
    l->row = p;
    LEV_TRY(lev_arena_new(arena, n, sizeof *l->share, &p, err));
    l->share = p;
    LEV_TRY(lev_arena_new(arena, n, sizeof *l->entries, &p, err));
    l->entries = p;
out:
    return st;
}

lev_status lev_learned_for(const lev_shop_factors *f, const char *family,
                           const char *material, const char *who,
                           const lev_face_medium *media, ptrdiff_t media_n,
                           lev_arena *arena, lev_learned *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_learned l = {.all = lev_shop_factors_entries(f, LEV_QUANTITY_REMOVAL)};
    lev_store_cell cell = {.family = family, .material = material, .who = who};
    const size_t most =
        (size_t)LEV_TAB_DRIVE_N * LEV_TAB_MINERAL_N + LEV_TAB_CUT_STEP_N;
    LEV_TRY(take_room(&l, most, arena, err));
    for (ptrdiff_t i = 0; i < media_n; i++)
        for (int d = 0; d < LEV_TAB_DRIVE_N; d++) {
            cell.drive = lev_tab_drive[d].id;
            cell.mineral = media[i].mineral;
            LEV_TRY(add_row(f, &cell, &l, err));
        }
    cell.mineral = "";
    for (int i = 0; i < LEV_TAB_CUT_STEP_N; i++) {
        cell.drive = lev_tab_cut_step[i].kind;
        LEV_TRY(add_row(f, &cell, &l, err));
    }
    *out = l;
out:
    return st;
}
