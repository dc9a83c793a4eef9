/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat of a step: a strip source on a half-space (Jaeger 1942) for the face under the
 * moving patch, and the heat store of the whole part for thin work. */
#include "levigate/heat.h"

#include <math.h>

#include "cut_coef.h"
#include "cut_pass.h"
#include "units.h"

double lev_heat_strip_rise_k(double flux_w_m2, double length_mm, double speed_m_s,
                             double conductivity_w_mk, double density_kg_m3,
                             double heat_j_kgk)
{
    const double length_m = length_mm * LEV_UM_PER_MM / LEV_UM_PER_M;
    return 2.0 / sqrt(LEV_PI) * flux_w_m2 *
           sqrt(length_m /
                (conductivity_w_mk * density_kg_m3 * heat_j_kgk * speed_m_s));
}

typedef struct thermal {
    double k, rho, c, damage_c;
} thermal;

static double known_or(double value, const char *quantity, const char *family,
                       cut_trust *trust)
{
    if (value > 0.0)
        return value;
    trust->notes |= LEV_NOTE_DEFAULT;
    return cut_coef_get(quantity, family, trust);
}

static thermal thermal_of(const lev_cut_work *w, cut_trust *trust)
{
    const char *family = cut_family_word(w->family);
    return (thermal){known_or(w->conductivity_w_mk, "conductivity", family, trust),
                     known_or(w->density_kg_m3, "density", family, trust),
                     known_or(w->heat_j_kgk, "heat", family, trust),
                     known_or(w->damage_c, "damage_c", family, trust)};
}

/* Time until a part warming at this rate meets the room left; an hour is never. */
static double time_to(double room_k, double rate_k_s)
{
    if (room_k <= 0.0)
        return 0.0;
    const double t = rate_k_s > 0.0 ? room_k / rate_k_s : HUGE_VAL;
    return t > LEV_S_PER_H ? HUGE_VAL : t;
}

lev_status lev_heat_step(const lev_cut_work *work, const lev_cut_tool *tool,
                         const lev_cut_pass *pass, const lev_heat_part *part,
                         lev_heat *out, lev_error *err)
{
    cut_trust trust = {.mark = pass->mark, .notes = pass->notes};
    if (!cut_positive(part->thickness_mm) || !cut_positive(part->area_mm2) ||
        !isfinite(part->start_c))
        return lev_fail(err, LEV_E_RANGE,
                        "part of %g mm2 and %g mm is not positive in size",
                        part->area_mm2, part->thickness_mm);
    const thermal t = thermal_of(work, &trust);
    const double start_c =
        part->start_c > 0.0 ? part->start_c : cut_coef_get("start_c", "any", &trust);
    const double grip = cut_coef_get("grip", cut_family_word(work->family), &trust);
    const double share =
        cut_coef_get("heat_share", tool->fluid == LEV_CUT_DRY ? "dry" : "wet", &trust);
    /* The patch travels over the work slower than it slides, but for hand strokes. */
    const double track =
        fmin(cut_coef_get("track", "contact", &trust), pass->speed_m_s);
    const double flux =
        share * grip * pass->pressure_kpa * LEV_PA_PER_KPA * pass->speed_m_s;
    const double mm2 = LEV_UM_PER_M * LEV_UM_PER_M / (LEV_UM_PER_MM * LEV_UM_PER_MM);
    const double mass_kg = t.rho * part->area_mm2 / mm2 * part->thickness_mm *
                           LEV_UM_PER_MM / LEV_UM_PER_M;
    const double length_mm = sqrt(pass->contact_mm2);
    const double rise =
        track > 0.0 ? lev_heat_strip_rise_k(flux, length_mm, track, t.k, t.rho, t.c)
                    : 0.0;
    const double rate = flux * pass->contact_mm2 / mm2 / (mass_kg * t.c);
    const double room = t.damage_c - start_c;
    *out = (lev_heat){.flux_w_m2 = flux,
                      .rise_k = rise,
                      .rate_k_s = rate,
                      .to_damage_s = time_to(room - rise, rate),
                      .speed_limit_m_s =
                          rise > 0.0 ? pass->speed_m_s * room / rise : HUGE_VAL,
                      .damage_c = t.damage_c,
                      .mark = trust.mark,
                      .notes = trust.notes};
    return LEV_OK;
}
