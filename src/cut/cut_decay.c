/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How old marks die: two exponentials in two measures of removal for textures, and
 * dA/dr = -A / (rho + c A) for deep marks. Measured on the old lines themselves, never
 * on Ra. See doc/physics/cutting.md. */
#include <math.h>

#include "cut_coef.h"
#include "cut_decay.h"
#include "units.h"

double cut_short_scale(double d_new_um, double pressure_kpa)
{
    const double push = pressure_kpa / cut_coef_get("rho_kpa", "any", NULL);
    return pow(d_new_um, cut_coef_get("rho_new", "any", NULL)) *
           pow(push, cut_coef_get("rho_push", "any", NULL));
}

double lev_cut_rho_short_um(double d_old_um, double d_new_um, double pressure_kpa)
{
    return cut_coef_get("rho_short", "any", NULL) *
           pow(d_old_um, cut_coef_get("rho_old", "any", NULL)) *
           cut_short_scale(d_new_um, pressure_kpa);
}

lev_cut_measures lev_cut_measures_add(lev_cut_measures m, const lev_cut_pass *pass,
                                      double remove_um)
{
    m.w_short += remove_um * pass->short_per_um;
    m.w_long += remove_um * pass->long_per_um;
    return m;
}

/* Grains for which the earlier law stands as it was; others by the kernel's exponents.
 */
static const double USUAL_OLD_UM = 100.0;

lev_cut_lines lev_cut_lines_of(double d_old_um)
{
    const double over = d_old_um / USUAL_OLD_UM;
    const double usual = cut_coef_get("rho_lines", "any", NULL) *
                         cut_coef_get("rho_short", "any", NULL) *
                         pow(USUAL_OLD_UM, cut_coef_get("rho_old", "any", NULL));
    return (lev_cut_lines){
        .short_scale = usual * pow(over, cut_coef_get("lines_short", "any", NULL)),
        .long_scale = pow(over, cut_coef_get("lines_long", "any", NULL)),
        .long_share = cut_coef_get("long_share", "any", NULL)};
}

static double left_of(const lev_cut_lines *lines, lev_cut_measures m)
{
    return (1.0 - lines->long_share) * exp(-m.w_short / lines->short_scale) +
           lines->long_share * exp(-m.w_long / lines->long_scale);
}

double lev_cut_left(double d_old_um, lev_cut_measures m)
{
    const lev_cut_lines lines = lev_cut_lines_of(d_old_um);
    return left_of(&lines, m);
}

lev_cut_measures lev_cut_lines_need(lev_cut_lines lines, double left)
{
    if (!(left < 1.0))
        return (lev_cut_measures){0.0, 0.0};
    /* a tenth of what may stay is granted to the short part, the rest to the long */
    const double w_short = log((1.0 - lines.long_share) / (0.1 * left));
    const double w_long = log(lines.long_share / (0.9 * left));
    return (lev_cut_measures){fmax(w_short, 0.0) * lines.short_scale,
                              fmax(w_long, 0.0) * lines.long_scale};
}

lev_cut_measures lev_cut_need(double d_old_um, double left)
{
    return lev_cut_lines_need(lev_cut_lines_of(d_old_um), left);
}

double lev_cut_clear_um(double d_old_um, const lev_cut_pass *pass, double left)
{
    const lev_cut_lines lines = lev_cut_lines_of(d_old_um);
    double low = 0.0, high = 1.0;
    if (!(left < 1.0))
        return 0.0;
    if (!(left > 0.0 && pass->short_per_um > 0.0 && pass->long_per_um > 0.0))
        return INFINITY;
    while (left_of(&lines, lev_cut_measures_add((lev_cut_measures){0}, pass, high)) >
           left)
        high *= 2.0;
    for (int i = 0; i < 60; i++) {
        const double r = 0.5 * (low + high);
        const lev_cut_measures m = lev_cut_measures_add((lev_cut_measures){0}, pass, r);
        if (left_of(&lines, m) > left)
            low = r;
        else
            high = r;
    }
    return 0.5 * (low + high);
}

double lev_cut_left_allowed(const lev_cut_pass *old_pass, const lev_cut_pass *pass,
                            double miss)
{
    if (!(old_pass->deepest_um > 0.0))
        return 1.0;
    return fmin(miss * pass->deepest_um / old_pass->deepest_um, 1.0);
}

double lev_cut_sunk_um(const lev_cut_pass *old_pass, const lev_cut_pass *pass,
                       double miss)
{
    return fmax(old_pass->deepest_um - miss * pass->deepest_um, 0.0);
}

double lev_cut_clear_after_um(const lev_cut_pass *old_pass, const lev_cut_pass *pass,
                              double miss)
{
    const double left = lev_cut_left_allowed(old_pass, pass, miss);
    return fmax(lev_cut_clear_um(old_pass->d50_um, pass, left),
                lev_cut_sunk_um(old_pass, pass, miss));
}

double lev_cut_mark_depth_um(const lev_cut_pass *pass, double a0_um, double a_um)
{
    if (!(a_um < a0_um))
        return 0.0;
    if (!(a_um > 0.0 && pass->rho_long_um > 0.0))
        return INFINITY;
    return pass->rho_long_um * log(a0_um / a_um) + pass->mark_c * (a0_um - a_um);
}

/* Newton in u = ln(A / A0) from 0 down: the depth left to remove is concave in u, so
 * every step stays above the root. */
double lev_cut_mark_left_um(const lev_cut_pass *pass, double a0_um, double remove_um)
{
    const double rho = pass->rho_long_um, c = pass->mark_c;
    if (!(remove_um > 0.0 && a0_um > 0.0))
        return a0_um;
    if (!(rho > 0.0))
        return a0_um;
    double u = 0.0;
    for (int i = 0; i < 60; i++) {
        const double a = a0_um * exp(u);
        const double miss = -rho * u + c * (a0_um - a) - remove_um;
        const double step = miss / (rho + c * a);
        u += step;
        if (fabs(step) < 1e-14 * fmax(1.0, fabs(u)))
            break;
    }
    return a0_um * exp(fmin(u, 0.0));
}

double lev_cut_wave_rho_um(const lev_cut_pass *pass, double wavelength_mm,
                           double *full_contact_um)
{
    double follow_um = 0.0, planes = 0.0;
    const double wave_um = wavelength_mm * LEV_UM_PER_MM;
    if (pass->pad_mpa > 0.0)
        follow_um =
            pass->pressure_kpa * LEV_PA_PER_KPA / LEV_PA_PER_MPA *
            lev_cut_pad_give(wave_um, pass->pad_mm * LEV_UM_PER_MM, pass->pad_mpa,
                             cut_coef_get("poisson", "pad", NULL));
    if (full_contact_um != NULL)
        *full_contact_um = follow_um;
    /* a pad of grains rides over waves longer than itself; files and planes have more
     * length than contact */
    if (pass->grains.removed_share > 0.0 && pass->contact_mm2 > 0.0)
        planes = lev_cut_pad_follows(1.0 / wave_um, 0.0,
                                     sqrt(pass->contact_mm2) * LEV_UM_PER_MM);
    return pass->rho_long_um / fmax(1.0 - planes, 1e-9) + follow_um;
}
