/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a step of the cutting model to the same step grain by grain. */
#include <math.h>

#include "levigate/simulate.h"
#include "units.h"

static const double MARGIN = 1.5; /* of the distance: depth_um ends the step before */

lev_status lev_sim_step_of_pass(const lev_cut_pass *pass, double depth_um,
                                lev_sim_step *out, lev_error *err)
{
    const lev_cut_grains *const g = &pass->grains;
    if (!(g->removed_share > 0.0))
        return lev_fail(err, LEV_E_RANGE, "a step without grains is not simulated");
    if (!(depth_um > 0.0))
        return lev_fail(err, LEV_E_RANGE, "depth %g um is not positive", depth_um);
    const double angle_rad = g->cone_deg * LEV_PI / 180.0;
    const double hardness_mpa = g->hardness_gpa * LEV_PA_PER_GPA / LEV_PA_PER_MPA;
    const double pressure_mpa = pass->pressure_kpa * LEV_PA_PER_KPA / LEV_PA_PER_MPA;
    const double v = 2.0 * g->removed_share * pressure_mpa /
                     (LEV_PI * hardness_mpa * tan(angle_rad));
    *out = (lev_sim_step){
        .grains = {.d50_um = pass->d50_um,
                   .ln_sigma = g->ln_sigma,
                   .largest_um = g->top_um,
                   .coverage = g->coverage,
                   .height_spread = g->height_xi,
                   .half_angle_rad = angle_rad,
                   .dressed = g->levelled},
        /* backing_mpa has the grain's share; contacts are far wider than maps */
        .pad = {.modulus_mpa = pass->pad_mpa, .thick_um = pass->pad_mm * LEV_UM_PER_MM},
        .hardness_mpa = hardness_mpa,
        .backing_mpa = pass->backing_mpa,
        .pressure_kpa = pass->pressure_kpa,
        .removed_share = g->removed_share,
        .distance_m = MARGIN * depth_um / v / LEV_UM_PER_M,
        .depth_um = depth_um,
    };
    return LEV_OK;
}
