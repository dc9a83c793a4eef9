/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of a face: needs, deep marks, costs. See plan_space.h. */
#include <math.h>
#include <string.h>

#include "mem.h"
#include "num.h"
#include "plan_space.h"
#include "units.h"

double space_start_grain_um(const space *s)
{
    const double d = s->face->start.texture_d50_um;
    return lev_known(d) && d > 0.0 ? d : 0.0;
}

lev_cut_measures space_need(const space *s, lev_cut_lines lines, double deepest_um,
                            const space_option *last)
{
    const lev_cut_pass old = {.deepest_um = deepest_um};
    return lev_cut_lines_need(
        lines, lev_cut_left_allowed(&old, &last->pass, s->face->full_miss));
}

double space_aside_s(const space *s, const space_option *o)
{
    double look_s = 0.0;
    for (int i = 0; i < LEV_TAB_CHECK_N; i++)
        if (lev_tab_check[i].id != NULL && s->face->check != NULL &&
            strcmp(lev_tab_check[i].id, s->face->check) == 0)
            look_s = lev_tab_check[i].seconds;
    if (o->drive == NULL)
        return look_s;
    return look_s + (o->drive->setup_s + o->drive->clean_s) / s->face->count;
}

/* However fast it cuts, every spot of the face is visited a few times. */
static void cover(const space *s, const space_option *o, lev_cut_cost *c)
{
    const double each_s = space_rule(space_by_hand(o) ? "cover-hand" : "cover-machine");
    const double on_mm2 =
        fmin(o->drive != NULL ? o->drive->contact_mm2 : space_rule("cover-form"),
             s->face->area_mm2);
    const double least_s = each_s * s->face->area_mm2 / on_mm2;
    const lev_spread t = c->time_spread_s;
    if (!(c->time_s < least_s))
        return;
    c->money_minor += (least_s - c->time_s) * s->face->labour_minor_per_s;
    c->time_s = least_s;
    c->time_spread_s =
        (lev_spread){fmax(t.p10, least_s), fmax(t.p50, least_s), fmax(t.p90, least_s)};
}

lev_status space_cost(const space *s, const space_option *o, double remove_um,
                      lev_cut_cost *out, lev_error *err)
{
    const lev_face *f = s->face;
    const lev_cut_job job = {
        .area_mm2 = f->area_mm2,
        .remove_um = remove_um,
        .sheet_mm2 = o->medium != NULL ? o->medium->sheet_mm2 : 0.0,
        .price_minor = o->medium != NULL ? o->medium->price_minor : 0.0,
        .labour_minor_per_s = f->labour_minor_per_s,
    };
    const lev_status st = lev_cut_cost_init(&o->pass, &job, out, err);
    if (st >= 0)
        cover(s, o, out);
    return st;
}

/* Sheets bought for all pieces, in quarters of a sheet. */
static double quarters(double sheets)
{
    return ceil(4.0 * sheets - 1e-9) / 4.0;
}

/* Costs at levels 1, 2, 4, ... 256 from the model, in between in a straight line. */
static lev_status fill_costs(space *s, int j, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_face *f = s->face;
    const space_option *o = s->option + j;
    double time[SPACE_KNOTS], sheets[SPACE_KNOTS];
    for (int k = 0; k < SPACE_KNOTS; k++) {
        lev_cut_cost c;
        LEV_TRY(space_cost(s, o, (1 << k) * s->table.unit_um, &c, err));
        time[k] =
            ((c.time_s + o->lay_s) * f->shape_time + c.change_s) + space_aside_s(s, o);
        sheets[k] = c.sheets * f->shape_time + space_lay_sheets(o);
        if (k > 0) { /* rounding of the model must not make more depth cheaper */
            time[k] = fmax(time[k], time[k - 1]);
            sheets[k] = fmax(sheets[k], sheets[k - 1]);
        }
    }
    for (int m = 1, k = 0; m <= SPACE_LEVELS; m++) {
        if (m > 1 << (k + 1))
            k++;
        const double x = k + 1 < SPACE_KNOTS ? (double)(m - (1 << k)) / (1 << k) : 0.0;
        const int next = k + 1 < SPACE_KNOTS ? k + 1 : k;
        const double t = time[k] + x * (time[next] - time[k]);
        const double used = (sheets[k] + x * (sheets[next] - sheets[k])) * f->count;
        const double price = o->medium != NULL ? o->medium->price_minor : 0.0;
        const bool runs_out = o->medium != NULL && used > o->medium->count;
        const ptrdiff_t at = (ptrdiff_t)j * SPACE_LEVELS + m - 1;
        s->time_s[at] = runs_out || !isfinite(t) ? (double)INFINITY : t;
        s->money[at] = isfinite(s->time_s[at]) ? t * f->labour_minor_per_s +
                                                     quarters(used) * price / f->count
                                               : (double)INFINITY;
    }
out:
    return st;
}

/* Old waves of known distance are followed by a soft pad. */
static double rho_of(const space *s, const space_option *o)
{
    const lev_face_start *start = &s->face->start;
    double rho = o->pass.rho_long_um;
    if (lev_known(start->spacing_um) && start->spacing_um > 0.0)
        rho = lev_cut_wave_rho_um(&o->pass, start->spacing_um / LEV_UM_PER_MM, NULL);
    return rho;
}

static double deepest_mark_um(const lev_face *f)
{
    if (!lev_known(f->start.mark_um))
        return 0.0;
    /* what must hold within a budget is asked of the deepest the marks may well be */
    return lev_known(f->budget_um) && lev_known(f->start.mark_hi_um)
               ? f->start.mark_hi_um
               : f->start.mark_um;
}

static void fill_marks(space *s)
{
    lev_plan_table *t = &s->table;
    const double mark_um = deepest_mark_um(s->face);
    double tail = 0.0;
    for (int j = 0; j < s->n; j++)
        if (s->option[j].medium != NULL)
            tail = fmax(tail, s->option[j].pass.mark_c);
    if (mark_um > 0.0)
        t->mark[t->marks++] = (lev_plan_mark){mark_um, tail, 1.0};
    /* Of what must go whole nothing may stay, also where lines of the last step hide
     * marks: that much is added, so that what the search may leave is none of it. */
    double hidden = 0.0;
    for (int j = 0; j < s->n && s->face->start.strip_um > 0.0; j++)
        if (s->option[j].meets)
            hidden = fmax(hidden, s->option[j].pass.deepest_um * s->face->full_miss);
    /* The law of deep marks holds while they are shallow against rho; whatever it says,
     * no less goes than the marks or the lines found are deep, and all of what must be
     * stripped. */
    const double thickness =
        fmax(mark_um, space_start_grain_um(s) * s->deep_per_grain) +
        fmax(s->face->start.strip_um, 0.0) + hidden;
    if (thickness > 0.0)
        t->mark[t->marks++] = (lev_plan_mark){thickness, 1.0, 0.0};
}

/* The largest depth one step may be asked for: the marks down to its own lines, or the
 * coarsest texture cleared at once. */
static double largest_depth_um(const space *s)
{
    const lev_face *f = s->face;
    const double a0 = fmax(deepest_mark_um(f), 0.0) + fmax(f->start.strip_um, 0.0);
    double most = 0.0;
    for (int j = 0; j < s->n; j++) {
        const lev_cut_pass *p = &s->option[j].pass;
        const double own = p->deepest_um * f->full_miss;
        if (own < a0)
            most = fmax(most, p->rho_long_um * log(a0 / own) + a0);
    }
    const double grain = fmax(space_start_grain_um(s), s->option[0].grain_um);
    const double fine = s->option[s->n - 1].pass.deepest_um;
    most = fmax(most, lev_cut_clear_um(grain, &s->option[s->n / 2].pass,
                                       fmin(0.5, f->full_miss * fine /
                                                     (grain * s->deep_per_grain))));
    return lev_known(f->budget_um) ? fmin(most, f->budget_um) : most;
}

static void fill_last(space *s, int l)
{
    const space_option *o = s->option + l;
    const double grain = space_start_grain_um(s);
    const lev_cut_measures start =
        grain > 0.0
            ? space_need(s, lev_cut_lines_of(grain), grain * s->deep_per_grain, o)
            : (lev_cut_measures){0};
    s->last[l] =
        (lev_plan_last){.allowed = o->meets,
                        .start_short = start.w_short,
                        .start_long = start.w_long,
                        .mark_end_um = o->pass.deepest_um * s->face->full_miss};
    if (!o->meets)
        return;
    for (int i = 0; i < s->n && s->option[i].order > o->order; i++) {
        const lev_cut_measures need =
            space_need(s, s->option[i].lines, s->option[i].pass.deepest_um, o);
        s->need_short[(ptrdiff_t)l * s->n + i] = need.w_short;
        s->need_long[(ptrdiff_t)l * s->n + i] = need.w_long;
    }
}

/* The check that ends step j must be able to pass: what is left of step i is below what
 * it lets pass once j has taken this level. */
static int least_after(const space *s, const space_option *i, const space_option *j)
{
    const double left = lev_cut_left_allowed(&i->pass, &j->pass, s->face->miss);
    const lev_cut_measures need = lev_cut_lines_need(i->lines, left);
    const double dies =
        fmax(need.w_short / j->pass.short_per_um, need.w_long / j->pass.long_per_um);
    const double um = fmax(dies, lev_cut_sunk_um(&i->pass, &j->pass, s->face->miss));
    const double level = ceil(um / s->table.unit_um - 1e-9);
    if (!(level <= SPACE_LEVELS))
        return LEV_PLAN_ARC_BARRED;
    return level > 1.0 ? (int)level : 1;
}

static void fill_arcs(space *s)
{
    const size_t n = (size_t)s->n;
    for (size_t j = 0; j < n; j++) {
        s->arc[j] = 1;
        for (size_t i = 0; i < n; i++)
            if (s->option[i].order > s->option[j].order)
                s->arc[(i + 1) * n + j] =
                    (unsigned short)least_after(s, s->option + i, s->option + j);
    }
}

static lev_status allocate(space *s, lev_error *err)
{
    lev_status st = LEV_OK;
    const size_t n = (size_t)s->n, d = sizeof(double);
    LEV_TRY(lev_mem_new(n * SPACE_LEVELS, d, (void **)&s->time_s, err));
    LEV_TRY(lev_mem_new(n * SPACE_LEVELS, d, (void **)&s->money, err));
    LEV_TRY(lev_mem_new(n * n, d, (void **)&s->need_short, err));
    LEV_TRY(lev_mem_new(n * n, d, (void **)&s->need_long, err));
    LEV_TRY(lev_mem_new((n + 1) * n, sizeof *s->arc, (void **)&s->arc, err));
    LEV_TRY(lev_mem_new(n, sizeof *s->last, (void **)&s->last, err));
    LEV_TRY(lev_mem_new(n, sizeof *s->row, (void **)&s->row, err));
    LEV_TRY(lev_mem_new(n, 1, (void **)&s->barred, err));
    s->table = (lev_plan_table){.n = s->n,
                                .levels = SPACE_LEVELS,
                                .mark_grid = SPACE_MARK_GRID,
                                .budget_um = INFINITY,
                                .option = s->row,
                                .time_s = s->time_s,
                                .money = s->money,
                                .arc = s->arc,
                                .last = s->last,
                                .need_short = s->need_short,
                                .need_long = s->need_long,
                                .barred = s->barred};
out:
    return st;
}

/* What final strokes may take of the budget; levels count the steps before them. */
static double lay_charge_um(const space *s)
{
    double most = 0.0;
    for (int j = 0; j < s->n; j++)
        most = fmax(most, s->option[j].lay_um);
    return most * fmax(1.0, s->face->edge_wear) * s->relax;
}

lev_status space_fill_table(space *s, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_face *f = s->face;
    LEV_TRY(allocate(s, err));
    fill_marks(s);
    s->table.unit_um = largest_depth_um(s) / SPACE_LEVELS;
    if (!(s->table.unit_um > 0.0) || !isfinite(s->table.unit_um))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "no depth to remove can be worked out"));
    if (lev_known(f->budget_um))
        s->table.budget_um = fmax(0.0, f->budget_um - lay_charge_um(s));
    for (int j = 0; j < s->n; j++) {
        const space_option *o = s->option + j;
        s->row[j] = (lev_plan_option){
            .order = o->order,
            .short_per_level = o->pass.short_per_um * s->table.unit_um,
            .long_per_level = o->pass.long_per_um * s->table.unit_um,
            .rho_um = rho_of(s, o),
            .edge = fmax(1.0, f->edge_wear) * s->relax,
            .min_level = 1,
        };
        LEV_TRY(fill_costs(s, j, err));
        fill_last(s, j);
    }
    fill_arcs(s);
out:
    return st;
}
