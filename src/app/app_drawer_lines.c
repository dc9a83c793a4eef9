/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawer's lines with their use, the one a name means, the ones that may stand in
 * for another, and all of them as media to plan from. See app_drawer.h. */
#include "app_drawer.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/note.h"
#include "bounds.h"
#include "mem.h"

enum { DAY_S = 86400 };

typedef struct keep_lines {
    const lev_shop *shop;
    lev_drawer_answer *a;
    ptrdiff_t room;
    lev_status st;
    lev_error *err;
} keep_lines;

static int keep_line(void *to, const lev_store_medium *m)
{
    keep_lines *k = to;
    lev_drawer_answer *a = k->a;
    if (a->n == k->room) {
        void *p = a->line;
        const ptrdiff_t wanted = k->room > 0 ? 2 * k->room : 16;
        k->st =
            lev_mem_grow(&p, (size_t)k->room, (size_t)wanted, sizeof *a->line, k->err);
        if (k->st < 0)
            return 1;
        a->line = p;
        k->room = wanted;
    }
    lev_drawer_line *l = &a->line[a->n++];
    *l = (lev_drawer_line){.m = *m,
                           .per_day = NAN,
                           .days_left = NAN,
                           .order_at = m->reorder_at,
                           .overlap = NAN,
                           .larger_pct = NAN};
    const char **const texts[] = {
        &l->m.marking, &l->m.system, &l->m.label, &l->m.method, &l->m.mineral,
        &l->m.carrier, &l->m.state,  &l->m.holes, &l->m.lot,    &l->m.bought};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        *texts[i] = lev_shop_copy(&a->arena, *texts[i], &k->st, k->err);
    l->age_days = lev_days_since(l->m.bought, k->shop->now_s);
    return k->st < 0;
}

/* Use goes on as it was: a line is low when what is left may not last until more is
 * there, in one order of ten (use of sheets taken as Poisson). */
static int add_use(void *to, const lev_store_use *u)
{
    const keep_lines *k = to;
    const double window = lev_entry_figure("use_window_days");
    const double lead = lev_entry_figure("reorder_lead_days");
    for (ptrdiff_t i = 0; i < k->a->n; i++) {
        lev_drawer_line *l = &k->a->line[i];
        if (l->m.id != u->medium_id || !(u->used > 0.0))
            continue;
        const double known = (double)(k->shop->now_s - u->first_s) / DAY_S;
        const double days = fmax(fmin(known, window), lead); /* a first week misleads */
        l->used = u->used;
        l->per_day = u->used / days;
        l->days_left = l->m.count / l->per_day;
        const double need = l->per_day * lead;
        if (isnan(l->order_at))
            l->order_at = need + lev_entry_figure("reorder_doubt") * sqrt(need);
    }
    return 0;
}

lev_status lev_drawer_read_lines(const lev_shop *shop, lev_drawer_answer *a,
                                 lev_error *err)
{
    lev_status st = LEV_OK;
    keep_lines k = {.shop = shop, .a = a, .err = err};
    const int64_t since =
        shop->now_s - (int64_t)(lev_entry_figure("use_window_days") * DAY_S);
    LEV_TRY(lev_store_drawer(shop->store, keep_line, &k, err));
    LEV_TRY(k.st);
    LEV_TRY(lev_store_drawer_used(shop->store, since, add_use, &k, err));
    for (ptrdiff_t i = 0; i < a->n; i++)
        a->line[i].order =
            !isnan(a->line[i].order_at) && a->line[i].m.count <= a->line[i].order_at;
out:
    return st;
}

lev_status lev_drawer_read_one(const lev_shop *shop, int64_t id, lev_drawer_answer *a,
                               lev_error *err)
{
    keep_lines k = {.shop = shop, .a = a, .err = err};
    const lev_status st = lev_store_drawer_get(shop->store, id, keep_line, &k, err);
    return st < 0 ? st : k.st;
}

/* ---- the line that is meant ---- */

static bool means(const lev_grit_reading *r, const lev_store_medium *m)
{
    for (int i = 0; i < r->n; i++)
        if (strcmp(r->match[i].system, m->system) == 0 &&
            lev_text_same(r->match[i].label, m->label))
            return true;
    return false;
}

static lev_status find_number(const lev_drawer_answer *a, const char *what, int64_t *id,
                              lev_error *err)
{
    *id = strtoll(what, NULL, 10);
    for (ptrdiff_t i = 0; i < a->n; i++)
        if (a->line[i].m.id == *id)
            return LEV_OK;
    return lev_fail(err, LEV_E_UNKNOWN,
                    "no line %.20s in the drawer; `levigate drawer` lists them, a "
                    "marking carries its letter (P240)",
                    what);
}

static lev_status several(const lev_drawer_answer *a, const lev_grit_reading *r,
                          const char *what, lev_error *err)
{
    lev_text t = {0};
    for (ptrdiff_t i = 0; i < a->n; i++)
        if (means(r, &a->line[i].m))
            lev_text_print(&t, "%s%lld", t.n > 0 ? ", " : "",
                           (long long)a->line[i].m.id);
    const lev_status st =
        lev_fail(err, LEV_E_USAGE, "%.40s stands in lines %s; give the number of one",
                 what, lev_text_get(&t));
    lev_text_release(&t);
    return st;
}

static lev_status none_of(lev_drawer_answer *a, const lev_grit *g, const char *what,
                          lev_error *err)
{
    a->asked = *g;
    const lev_status st = lev_drawer_rank(a, 0.0, err);
    if (st < 0)
        return st;
    if (a->n == 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "no %.40s in the drawer; put it in with `levigate drawer add`",
                        what);
    return lev_fail(err, LEV_E_UNKNOWN,
                    "no %.40s in the drawer; nearest: line %lld, %s", what,
                    (long long)a->line[0].m.id, a->line[0].m.label);
}

lev_status lev_drawer_find(const lev_shop *shop, const char *what, int64_t *id,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    lev_drawer_answer all = {0};
    lev_grit_reading r;
    int found = 0;
    if (what == NULL || what[0] == '\0')
        return lev_fail(err, LEV_E_USAGE,
                        "say which line of the drawer: its number, or its marking");
    LEV_TRY(lev_drawer_read_lines(shop, &all, err));
    if (strspn(what, "0123456789") == strlen(what)) {
        LEV_TRY(find_number(&all, what, id, err));
        goto out;
    }
    LEV_TRY(lev_grit_read(what, NULL, &r, err));
    for (ptrdiff_t i = 0; i < all.n; i++)
        if (means(&r, &all.line[i].m)) {
            *id = all.line[i].m.id;
            found++;
        }
    if (found > 1)
        LEV_TRY(several(&all, &r, what, err));
    if (found == 0)
        LEV_TRY(none_of(&all, &r.match[0], what, err));
out:
    lev_drawer_answer_release(&all);
    return st;
}

/* ---- what may stand in ---- */

static int nearest_first(const void *a, const void *b)
{
    const lev_drawer_line *x = a, *y = b;
    if (x->overlap < y->overlap || x->overlap > y->overlap)
        return x->overlap < y->overlap ? 1 : -1;
    return (x->m.id > y->m.id) - (x->m.id < y->m.id);
}

static unsigned compare(const lev_drawer_answer *a, const lev_grit_size *asked,
                        lev_drawer_line *l)
{
    lev_grit g;
    lev_grit_size size;
    l->overlap = 0.0;
    if (lev_grit_find(l->m.system, l->m.label, l->m.method, &g, NULL) < 0 ||
        lev_grit_size_of(&g, &size, NULL) < 0)
        return 0U;
    l->overlap = lev_grit_overlap(asked, &size);
    l->larger_pct = 100.0 * (size.median_um / asked->median_um - 1.0);
    l->same_method = strcmp(g.method, a->asked.method) == 0;
    return size.notes | g.notes | (l->same_method ? 0U : LEV_NOTE_METHODS);
}

lev_status lev_drawer_rank(lev_drawer_answer *a, double least, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit_size asked;
    ptrdiff_t n = 0;
    LEV_TRY(lev_grit_size_of(&a->asked, &asked, err));
    a->asked_grit_um = asked.median_um;
    for (ptrdiff_t i = 0; i < a->n; i++) {
        const unsigned notes = compare(a, &asked, &a->line[i]);
        if (!(a->line[i].m.count > 0.0) || !(a->line[i].overlap > least))
            continue;
        a->line[n++] = a->line[i];
        a->notes |= notes;
    }
    a->n = n;
    if (n > 1)
        qsort(a->line, (size_t)n, sizeof *a->line, nearest_first);
out:
    return st;
}

/* ---- media to plan from ---- */

static bool cuts_alike(const lev_store_medium *a, const lev_job_medium *b)
{
    return strcmp(a->system, b->system) == 0 && strcmp(a->label, b->label) == 0 &&
           strcmp(a->method, b->method) == 0 && strcmp(a->mineral, b->mineral) == 0 &&
           strcmp(a->carrier, b->carrier) == 0 && strcmp(a->state, b->state) == 0 &&
           a->open_coat == b->open_coat && a->anti_clog == b->anti_clog &&
           (a->waterproof > 0) == b->waterproof &&
           (a->waterproof >= 0) == b->waterproof_given &&
           !(a->width_mm < b->width_mm) && !(a->width_mm > b->width_mm) &&
           !(a->height_mm < b->height_mm) && !(a->height_mm > b->height_mm);
}

typedef struct keep_media {
    lev_arena *arena;
    lev_job_medium *m;
    ptrdiff_t n;
    lev_status st;
    lev_error *err;
} keep_media;

static int keep_medium(void *to, const lev_store_medium *x)
{
    keep_media *k = to;
    for (ptrdiff_t i = 0; i < k->n; i++)
        if (cuts_alike(x, &k->m[i])) {
            k->m[i].count += x->count;
            if (x->price_minor > k->m[i].price_minor)
                k->m[i].price_minor = x->price_minor;
            return 0;
        }
    if (k->n == LEV_LIMIT_DRAWER) {
        k->st = lev_fail(k->err, LEV_E_LIMIT, "more than %d lines in the drawer",
                         LEV_LIMIT_DRAWER);
        return 1;
    }
    lev_job_medium *m = &k->m[k->n++];
    *m =
        (lev_job_medium){.system = lev_shop_copy(k->arena, x->system, &k->st, k->err),
                         .label = lev_shop_copy(k->arena, x->label, &k->st, k->err),
                         .method = lev_shop_copy(k->arena, x->method, &k->st, k->err),
                         .mineral = lev_shop_copy(k->arena, x->mineral, &k->st, k->err),
                         .carrier = lev_shop_copy(k->arena, x->carrier, &k->st, k->err),
                         .state = lev_shop_copy(k->arena, x->state, &k->st, k->err),
                         .width_mm = x->width_mm,
                         .height_mm = x->height_mm,
                         .count = x->count,
                         .price_minor = x->price_minor,
                         .waterproof = x->waterproof > 0,
                         .waterproof_given = x->waterproof >= 0,
                         .open_coat = x->open_coat,
                         .anti_clog = x->anti_clog};
    return k->st < 0;
}

lev_status lev_drawer_media(const lev_shop *shop, lev_arena *arena,
                            lev_job_medium **out, ptrdiff_t *n, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    keep_media k = {.arena = arena, .err = err};
    LEV_TRY(lev_arena_new(arena, LEV_LIMIT_DRAWER, sizeof *k.m, &p, err));
    k.m = p;
    LEV_TRY(lev_store_drawer(shop->store, keep_medium, &k, err));
    LEV_TRY(k.st);
    *out = k.m;
    *n = k.n;
out:
    return st;
}

lev_status lev_drawer_for_job(const lev_shop *shop, const lev_job *job,
                              lev_arena *arena, lev_job_medium **out, ptrdiff_t *n,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    char currency[4];
    LEV_TRY(lev_shop_currency(shop, currency, err));
    if (currency[0] != '\0' && strcmp(currency, job->currency) != 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "the job counts in %s, the drawer in %s; one currency is "
                         "wanted to plan from the drawer",
                         job->currency, currency));
    LEV_TRY(lev_drawer_media(shop, arena, out, n, err));
    if (*n == 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "the drawer of %.200s is empty; `levigate drawer add` puts "
                         "media into it",
                         shop->path));
out:
    return st;
}
