/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time and abrasive of a depth: a patch cuts v = v0 (s + (1 - s) exp(-t/tau)), s its
 * floor, and is renewed when a depth costs least. Without floor this is Mulhearn and
 * Samuels' finite life M (Wear 5 (1962) 478); with it, the form of Ockajova et al.
 * (BioResources 11 (2016) 5242) for belts on wood. */
#include <math.h>

#include "cut_coef.h"
#include "cut_pass.h"
#include "num.h"
#include "units.h"

/* x/(1-x) + ln(1-x), which rises from 0 to infinity. */
static double renewal_side(double x)
{
    if (x < 1e-3) /* series: x^2/2 + 2 x^3/3 + 3 x^4/4 */
        return x * x * (0.5 + x * (2.0 / 3.0 + 0.75 * x));
    return x / (1.0 - x) + log1p(-x);
}

double lev_cut_renewal(double fixed_over_tau)
{
    double low = 0.0, high = 1.0;
    if (!(fixed_over_tau > 0.0))
        return 0.0;
    for (int i = 0; i < 60; i++) {
        const double x = 0.5 * (low + high);
        if (x < 1.0 && renewal_side(x) < fixed_over_tau)
            low = x;
        else
            high = x;
    }
    return 0.5 * (low + high);
}

/* One patch in units of tau and M: depth after t, and the rate then. */
static double taken(double t, double floor)
{
    return floor * t - (1.0 - floor) * expm1(-t);
}

static double rate(double t, double floor)
{
    return floor + (1.0 - floor) * exp(-t);
}

/* The cheapest time to renew, in tau: (fixed + t) rate(t) = taken(t); at most most. */
static double renew_time(double fixed, double floor, double most)
{
    double low = 0.0, high = most;
    if ((fixed + most) * rate(most, floor) > taken(most, floor))
        return most;
    for (int i = 0; i < 60; i++) {
        const double t = 0.5 * (low + high);
        if ((fixed + t) * rate(t, floor) > taken(t, floor))
            low = t;
        else
            high = t;
    }
    return 0.5 * (low + high);
}

typedef struct usage {
    double time_s, patches, wear;
} usage;

/* Depth per patch q um, all of it in patches of equal wear (the last may be less). */
static usage use_patches(const lev_cut_pass *p, const lev_cut_job *job,
                         double patch_price, double change_s)
{
    const double worth = job->labour_minor_per_s > 0.0
                             ? patch_price / job->labour_minor_per_s
                             : (patch_price > 0.0 ? HUGE_VAL : 0.0);
    const double v0 = p->patch_um_per_m * p->speed_m_s; /* um/s on the patch */
    /* depth the patches must take off their own area, all together */
    const double total_um = job->remove_um * job->area_mm2 / p->contact_mm2;
    const double most = cut_coef_get("spent", "any", NULL);
    if (!isfinite(p->patch_life_um))
        return (usage){total_um / v0, 0.0, 0.0};
    const double tau = p->patch_life_um / v0;
    const double fixed = fmin((worth + change_s) / tau, 1e6);
    const double t = renew_time(fixed, p->floor_share, most);
    const double q_um = taken(t, p->floor_share) * p->patch_life_um;
    if (total_um <= q_um) { /* one patch does it: how long */
        double low = 0.0, high = t;
        for (int i = 0; i < 60; i++) {
            const double mid = 0.5 * (low + high);
            if (taken(mid, p->floor_share) * p->patch_life_um < total_um)
                low = mid;
            else
                high = mid;
        }
        return (usage){0.5 * (low + high) * tau, total_um / q_um,
                       -expm1(-0.5 * (low + high))};
    }
    return (usage){t * tau * total_um / q_um, total_um / q_um, -expm1(-t)};
}

static lev_status check_job(const lev_cut_pass *pass, const lev_cut_job *job,
                            lev_error *err)
{
    const double fields[] = {job->remove_um,          job->sheet_mm2,
                             job->sheet_share,        job->price_minor,
                             job->labour_minor_per_s, job->change_s};
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++)
        if (!cut_not_negative(fields[i]))
            return lev_fail(err, LEV_E_RANGE,
                            "figure %g of the job is not zero or more", fields[i]);
    if (!cut_positive(job->area_mm2))
        return lev_fail(err, LEV_E_RANGE, "area %g mm2 is not positive", job->area_mm2);
    if (job->remove_um > 0.0 && !(pass->patch_um_per_m * pass->speed_m_s > 0.0))
        return lev_fail(err, LEV_E_RANGE,
                        "a step that removes nothing cannot take off "
                        "%g um",
                        job->remove_um);
    return LEV_OK;
}

static usage at_factors(const lev_cut_pass *pass, const lev_cut_job *job,
                        double patch_price, double change_s, double removal,
                        double life)
{
    lev_cut_pass p = *pass;
    p.patch_um_per_m *= removal;
    p.patch_life_um *= life;
    return use_patches(&p, job, patch_price, change_s);
}

/* Log-sd of a median from its logarithmic slopes in both factors. */
static double joint_lnsd(const lev_cut_pass *p, double by_removal, double by_life)
{
    return hypot(by_removal * p->lnsd[LEV_CUT_F_REMOVAL],
                 by_life * p->lnsd[LEV_CUT_F_LIFE]);
}

static void set_cost_spreads(const lev_cut_pass *pass, const lev_cut_job *job,
                             double patch_price, double change_s, lev_cut_cost *out)
{
    const double step = 1.1, ln_step = log(step);
    const usage u = at_factors(pass, job, patch_price, change_s, 1.0, 1.0);
    const usage f = at_factors(pass, job, patch_price, change_s, step, 1.0);
    const usage l = at_factors(pass, job, patch_price, change_s, 1.0, step);
    if (!(u.time_s > 0.0))
        return;
    out->time_by_removal = log(f.time_s / u.time_s) / ln_step;
    out->time_by_life = log(l.time_s / u.time_s) / ln_step;
    out->time_spread_s = lev_spread_lognormal(
        out->time_s, joint_lnsd(pass, out->time_by_removal, out->time_by_life));
    if (!(u.patches > 0.0))
        return;
    out->sheets_by_removal = log(f.patches / u.patches) / ln_step;
    out->sheets_by_life = log(l.patches / u.patches) / ln_step;
    out->sheets_spread = lev_spread_lognormal(
        out->sheets, joint_lnsd(pass, out->sheets_by_removal, out->sheets_by_life));
}

lev_status lev_cut_cost_init(const lev_cut_pass *pass, const lev_cut_job *job,
                             lev_cut_cost *out, lev_error *err)
{
    lev_status st;
    lev_cut_cost c = {0};

    LEV_TRY(check_job(pass, job, err));
    if (job->remove_um > 0.0) {
        const double usual = cut_coef_get("used", "sheet", NULL);
        const double share = job->sheet_share > 0.0 ? job->sheet_share : usual;
        const double useful_mm2 =
            job->sheet_mm2 > 0.0 ? job->sheet_mm2 * share : pass->contact_mm2;
        const double patch_share = fmin(pass->contact_mm2 / useful_mm2, 1.0);
        const double price = job->price_minor * patch_share;
        const double change_s = job->change_s > 0.0 ? job->change_s : pass->change_s;
        const usage u = use_patches(pass, job, price, change_s);
        c.time_s = u.time_s;
        c.wear = u.wear;
        c.sheets = u.patches * patch_share;
        c.whole_sheets = (int64_t)ceil(fmin(c.sheets - 1e-9, 1e9));
        c.media_changes = u.patches > 1.0 ? (int64_t)ceil(fmin(u.patches, 1e9)) - 1 : 0;
        c.change_s = change_s * (double)c.media_changes;
        c.money_minor = (c.time_s + c.change_s) * job->labour_minor_per_s +
                        c.sheets * job->price_minor;
        set_cost_spreads(pass, job, price, change_s, &c);
        c.sheets_spread.p50 = c.sheets;
    }
    *out = c;
out:
    return st;
}
