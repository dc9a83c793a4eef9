/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a trace as recorded to its parameters: form, short-wave filter, long-wave
 * filter, whole sections from the middle of the trace.
 *
 * The Rk family has its own reference line where a filter is run at all: the robust
 * Gaussian under ISO 21920-2; under the older rule the two steps of ISO 13565-1 (dales
 * below the first mean line are cut off, the filter runs again, and the second mean
 * line is taken from the uncut profile). */
#include "surface_inner.h"

#include <math.h>

#include "levigate/note.h"
#include "units.h"

enum { TRIES = 8 };

/* What the tries at one cut-off share. */
typedef struct attempt {
    const lev_trace *t; /* form taken off */
    const lev_profile_settings *set;
    lev_profile_result *r;
} attempt;

static lev_status short_wave(const attempt *a, const lev_cutoff *c, lev_trace *out,
                             lev_error *err)
{
    const double ls_um = a->set->ls_um > 0.0 ? a->set->ls_um : c->ls_um;
    const lev_filter f = {.cutoff_um = ls_um};
    a->r->ls_um = 0.0;
    a->r->ls_skipped = false;
    if (a->set->ls_um < 0.0)
        return lev_trace_part(a->t, 0, a->t->n, out, err);
    if (ls_um < 2.0 * a->t->dx_um && !(a->set->ls_um > 0.0)) {
        a->r->ls_skipped = true;
        return lev_trace_part(a->t, 0, a->t->n, out, err);
    }
    a->r->ls_um = ls_um;
    return lev_trace_filter(a->t, &f, out, err);
}

/* Before any filter runs: one cut-off may be as long as a thousand traces. */
static lev_status check_lengths(const attempt *a, double lc_mm, lev_error *err)
{
    const double lc_um = lc_mm * LEV_UM_PER_MM, each = nearbyint(lc_um / a->t->dx_um);
    if (each < 1.0 || each > (double)a->t->n)
        return lev_fail(err, LEV_E_RANGE,
                        "trace of %g mm is shorter than one cut-off of %g mm",
                        (double)a->t->n * a->t->dx_um / LEV_UM_PER_MM, lc_mm);
    return lev_check_band(a->set->ls_um, lc_um, err);
}

/* Keep whole sections from the middle: as many as asked for, or as fit. */
static lev_status keep_sections(const attempt *a, double lc_mm, lev_trace *rough,
                                int *sections, lev_error *err)
{
    lev_trace part = {0};
    const ptrdiff_t each = (ptrdiff_t)nearbyint(lc_mm * LEV_UM_PER_MM / a->t->dx_um);
    int k = a->set->sections > 0 ? a->set->sections : (int)lev_texture("sections");
    if (each * k > a->t->n) {
        k = (int)(a->t->n / each);
        a->r->short_trace = true;
    }
    const ptrdiff_t first = (a->t->n - each * k) / 2;
    a->r->ends_touched = first < each;
    a->r->start_um = (double)first * a->t->dx_um;
    const lev_status st = lev_trace_part(rough, first, each * k, &part, err);
    if (st < 0)
        return st;
    lev_trace_release(rough);
    *rough = part;
    *sections = k;
    return LEV_OK;
}

/* Mean line of the two steps of ISO 13565-1. */
static lev_status two_step_mean(const lev_trace *s, double lc_um, lev_trace *mean,
                                lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace first = {0}, cut = {0};
    const lev_filter f = {.cutoff_um = lc_um};
    LEV_TRY(lev_trace_filter(s, &f, &first, err));
    LEV_TRY(lev_trace_part(s, 0, s->n, &cut, err));
    for (ptrdiff_t i = 0; i < cut.n; i++)
        if (cut.z_um[i] < first.z_um[i])
            cut.z_um[i] = first.z_um[i];
    LEV_TRY(lev_trace_filter(&cut, &f, mean, err));
out:
    lev_trace_release(&first);
    lev_trace_release(&cut);
    return st;
}

/* The Rk family from its own mean line over the kept part. */
static lev_status core_of(const attempt *a, const lev_trace *s, double lc_mm,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace mean = {0}, rough = {0};
    lev_ratio ratio = {0};
    const double lc_um = lc_mm * LEV_UM_PER_MM;
    const lev_filter robust = {.kind = LEV_FILTER_ROBUST, .cutoff_um = lc_um};
    const ptrdiff_t first = (ptrdiff_t)nearbyint(a->r->start_um / s->dx_um);

    if (a->set->rule == LEV_RULE_ISO4287)
        LEV_TRY(two_step_mean(s, lc_um, &mean, err));
    else
        LEV_TRY(lev_trace_filter(s, &robust, &mean, err));
    LEV_TRY(lev_trace_part(s, first, a->r->roughness.n, &rough, err));
    for (ptrdiff_t i = 0; i < rough.n; i++)
        rough.z_um[i] -= mean.z_um[first + i];
    LEV_TRY(lev_ratio_take(&rough, &ratio, err));
    lev_ratio_core(&ratio, &a->r->p.core);
    lev_ratio_plateau(&ratio, &a->r->p.plateau);
out:
    lev_ratio_release(&ratio);
    lev_trace_release(&rough);
    lev_trace_release(&mean);
    return st;
}

/* One cut-off: filters, sections, parameters; the Rk family only when `core`. */
static lev_status try_cutoff(const attempt *a, const lev_cutoff *c, bool core,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace s = {0}, rough = {0}, mean = {0};
    const lev_filter f = {.kind = a->set->filter,
                          .cutoff_um = c->lc_mm * LEV_UM_PER_MM};
    int sections = 0;

    a->r->notes = c->notes;
    a->r->short_trace = false;
    LEV_TRY(check_lengths(a, c->lc_mm, err));
    LEV_TRY(short_wave(a, c, &s, err));
    LEV_TRY(lev_trace_filter(&s, &f, &mean, err));
    LEV_TRY(lev_trace_rest(&s, &mean, &rough, err));
    LEV_TRY(keep_sections(a, c->lc_mm, &rough, &sections, err));
    LEV_TRY(lev_profile_of(&rough, a->set->rule, sections, &a->r->p, err));
    lev_trace_release(&a->r->roughness);
    lev_trace_release(&a->r->waviness);
    a->r->roughness = rough;
    a->r->waviness = mean;
    rough = mean = (lev_trace){0};
    if (core)
        LEV_TRY(core_of(a, &s, c->lc_mm, err));
    lev_trace_release(&a->r->primary);
    a->r->primary = s;
    s = (lev_trace){0};
    a->r->lc_mm = c->lc_mm;
    a->r->le_mm = c->lc_mm * sections;
    a->r->cutoff_id = c->id;
out:
    lev_trace_release(&s);
    lev_trace_release(&rough);
    lev_trace_release(&mean);
    return st;
}

/* Without a limit: measure, look the value up, measure again until the row stays. When
 * two rows point at each other the longer cut-off is kept. */
static lev_status settle_cutoff(const attempt *a, lev_cutoff *c, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_cutoff next = {0};
    double longest = 0.0;
    const double length_mm = (double)a->t->n * a->t->dx_um / LEV_UM_PER_MM;
    LEV_TRY(lev_cutoff_at_most(
        a->set->rule, fmin(lev_texture("first_cutoff_mm"), length_mm), c, err));
    for (int i = 0; i < TRIES; i++) {
        LEV_TRY(try_cutoff(a, c, false, err));
        LEV_TRY(lev_cutoff_choose(a->set->rule, "Ra", a->r->p.Ra_um, &next, err));
        if (fabs(next.lc_mm - c->lc_mm) < 1e-9)
            break;
        if (next.lc_mm > length_mm || next.lc_mm < longest)
            break;
        longest = fmax(longest, c->lc_mm);
        *c = next;
    }
out:
    return st;
}

static lev_status measure_as_is(const lev_trace *t, const lev_profile_settings *set,
                                lev_profile_result *r, lev_error *err)
{
    lev_status st = lev_profile_of(t, set->rule, set->sections, &r->p, err);
    if (st < 0)
        return st;
    r->le_mm = (double)t->n * t->dx_um / LEV_UM_PER_MM;
    r->lc_mm = r->le_mm / r->p.sections;
    st = lev_trace_part(t, 0, t->n, &r->roughness, err);
    for (ptrdiff_t i = 0; st == LEV_OK && i < t->n; i++)
        r->roughness.z_um[i] -= r->p.mean_um;
    return st;
}

lev_status lev_profile_measure(const lev_trace *t, const lev_profile_settings *set,
                               lev_profile_result *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace level = {0};
    lev_profile_result r = {.cutoff_id = ""};
    lev_cutoff c = {0};
    const attempt a = {.t = &level, .set = set, .r = &r};

    if (set->as_is) {
        LEV_TRY(measure_as_is(t, set, &r, err));
    } else {
        LEV_TRY(lev_trace_part(t, 0, t->n, &level, err));
        LEV_TRY(lev_trace_level(&level,
                                set->form == LEV_FORM_NONE ? LEV_FORM_LINE : set->form,
                                set->degree, NULL, err));
        const bool assumed = !(set->lc_mm > 0.0) && set->limit_symbol == NULL;
        if (set->lc_mm > 0.0)
            LEV_TRY(lev_cutoff_of_lc(set->rule, set->lc_mm, &c, err));
        else if (set->limit_symbol != NULL)
            LEV_TRY(lev_cutoff_choose(set->rule, set->limit_symbol, set->limit_um, &c,
                                      err));
        else
            LEV_TRY(settle_cutoff(&a, &c, err));
        LEV_TRY(try_cutoff(&a, &c, true, err));
        r.notes |= assumed ? LEV_NOTE_DEFAULT : LEV_NOTE_NONE;
        if (set->lc_mm > 0.0)
            r.cutoff_id = "";
    }
    *out = r;
    r = (lev_profile_result){0};
out:
    lev_trace_release(&level);
    lev_profile_result_release(&r);
    return st;
}

void lev_profile_result_release(lev_profile_result *r)
{
    if (r == NULL)
        return;
    lev_trace_release(&r->roughness);
    lev_trace_release(&r->waviness);
    lev_trace_release(&r->primary);
    *r = (lev_profile_result){0};
}
