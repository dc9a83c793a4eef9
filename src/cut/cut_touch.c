/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The contact as the outside sees it: steady under sliding, and at rest on a flat. */
#include "cut_touch.h"

#include <math.h>

#include "cut_pass.h"
#include "num.h"
#include "units.h"

double cut_tangent(double cone_deg)
{
    return tan(cone_deg * LEV_PI / 180.0);
}

double cut_touch_solve(const lev_grain_dist *grain, const cut_touch *in, cut_steady *s)
{
    cut_tips tips;
    cut_tips_init(grain, in->xi, &tips);
    const double n = in->coverage / (LEV_PI / 4.0 * tips.mean_square);
    const double stiffness =
        LEV_PI * in->hardness_pa * in->tangent / (2.0 * in->backing_pa);
    const double load =
        LEV_PI * n * in->tangent * in->tangent * in->hardness_pa / in->pressure_pa;
    if (in->level > 0.0)
        cut_tips_level(&tips, in->xi, in->level, in->level_pa / (n * in->backing_pa));
    cut_steady_solve(&tips, in->tangent, stiffness, load, s);
    return n;
}

static cut_touch touch_of(const lev_cut_contact_in *in)
{
    return (cut_touch){.d50_um = exp(in->grain.mu_ln_um),
                       .tangent = cut_tangent(in->cone_deg),
                       .hardness_pa = in->hardness_gpa * LEV_PA_PER_GPA,
                       .backing_pa = in->backing_mpa * LEV_PA_PER_MPA,
                       .pressure_pa = in->pressure_kpa * LEV_PA_PER_KPA,
                       .xi = in->height_xi,
                       .coverage = in->coverage,
                       .level = in->wear,
                       .level_pa = in->pressure_kpa * LEV_PA_PER_KPA};
}

static lev_status check_contact(const lev_cut_contact_in *in, double least_xi,
                                lev_error *err)
{
    const double positive[] = {in->pressure_kpa, in->hardness_gpa, in->backing_mpa,
                               in->cone_deg, in->coverage};
    for (size_t i = 0; i < sizeof positive / sizeof *positive; i++)
        if (!cut_positive(positive[i]))
            return lev_fail(err, LEV_E_RANGE,
                            "figure %g of the contact is not positive", positive[i]);
    if (!(in->cone_deg < 90.0 && in->coverage <= 1.0 && in->height_xi >= least_xi &&
          in->height_xi <= 0.3 && in->wear >= 0.0 && in->wear < 1.0))
        return lev_fail(err, LEV_E_RANGE,
                        "cone %g deg, coverage %g, height spread %g or wear %g is "
                        "outside 90, 1, %g to 0.3, 0 to 1",
                        in->cone_deg, in->coverage, in->height_xi, in->wear, least_xi);
    if (!(in->grain.sigma_ln >= 0.0 && in->grain.sigma_ln <= 1.2) ||
        !isfinite(in->grain.mu_ln_um) || !cut_not_negative(in->grain.top_um))
        return lev_fail(err, LEV_E_RANGE, "spread of grains %g is not 0 to 1.2",
                        in->grain.sigma_ln);
    return LEV_OK;
}

lev_status lev_cut_contact_init(const lev_cut_contact_in *in, lev_cut_contact *out,
                                lev_error *err)
{
    lev_status st;
    cut_steady s;

    LEV_TRY(check_contact(in, 0.02, err));
    const cut_touch touch = touch_of(in);
    const double d50_um = touch.d50_um;
    const double n = cut_touch_solve(&in->grain, &touch, &s);
    *out = (lev_cut_contact){.grains_per_mm2 =
                                 n * LEV_UM_PER_MM * LEV_UM_PER_MM / (d50_um * d50_um),
                             .touching_share = s.touching,
                             .ra_um = s.ra * d50_um,
                             .rq_um = s.sd * d50_um,
                             .deep_um = {cut_steady_depth(&s, 1e-1) * d50_um,
                                         cut_steady_depth(&s, 1e-2) * d50_um,
                                         cut_steady_depth(&s, 1e-3) * d50_um},
                             .rho_long_um = s.stand_out * d50_um};
out:
    return st;
}

/* Depth of a tip that stands e above the face: a b^2 + b = e, without cancellation. */
static double sunk(double e, double a)
{
    return e > 0.0 ? 2.0 * e / (1.0 + sqrt(1.0 + 4.0 * a * e)) : 0.0;
}

/* Over all grains, in d50: share that touches, mean depth over all, load on n E_b. */
typedef struct flat_sums {
    double share, depth, load;
} flat_sums;

static flat_sums sum_flat(const cut_touch *in, const double *d, const double *weight,
                          int n_d, double z0)
{
    enum { NODES = 24 };
    double x[NODES], w[NODES];
    flat_sums sum = {0};
    lev_gauss_legendre(NODES, x, w);
    for (int i = 0; i < n_d; i++) {
        const double a = LEV_PI * in->hardness_pa * in->tangent * in->tangent /
                         (2.0 * in->backing_pa * d[i]);
        const double spread = fmax(in->xi, 1e-9);
        const double from = fmax((z0 / d[i] - 1.0) / spread, -6.0), to = 6.0;
        for (int k = 0; k < NODES && from < to; k++) {
            const double g = 0.5 * ((to - from) * x[k] + to + from);
            const double part = weight[i] * 0.5 * (to - from) * w[k] *
                                exp(-0.5 * g * g) / sqrt(2.0 * LEV_PI);
            const double b = sunk(d[i] * (1.0 + spread * g) - z0, a);
            sum.share += part;
            sum.depth += part * b;
            sum.load += part * a * d[i] * b * b;
        }
    }
    return sum;
}

lev_status lev_cut_flat_init(const lev_cut_contact_in *in, lev_cut_flat *out,
                             lev_error *err)
{
    lev_status st;
    double d[CUT_SIZES], weight[CUT_SIZES], top, square = 0.0;

    LEV_TRY(check_contact(in, 0.0, err));
    const cut_touch touch = touch_of(in);
    const int n_d = cut_size_nodes(&in->grain, d, weight, &top);
    for (int i = 0; i < n_d; i++)
        square += weight[i] * d[i] * d[i];
    const double n = in->coverage / (LEV_PI / 4.0 * square);
    const double want = touch.pressure_pa / (n * touch.backing_pa);
    double low = -100.0, high = top * (1.0 + 6.0 * in->height_xi);
    for (int i = 0; i < 100; i++) {
        const double z0 = 0.5 * (low + high);
        if (sum_flat(&touch, d, weight, n_d, z0).load > want)
            low = z0;
        else
            high = z0;
    }
    const flat_sums sum = sum_flat(&touch, d, weight, n_d, 0.5 * (low + high));
    *out = (lev_cut_flat){
        .level_um = 0.5 * (low + high) * touch.d50_um,
        .touching_share = sum.share,
        .depth_um = sum.share > 0.0 ? sum.depth / sum.share * touch.d50_um : 0.0,
        .load_kpa = sum.load * n * touch.backing_pa / LEV_PA_PER_KPA};
out:
    return st;
}
