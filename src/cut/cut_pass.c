/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step: checks what goes in, and hands it to grains or to the other tools. */
#include "cut_pass.h"

#include <math.h>

#include "num.h"
#include "units.h"

bool cut_positive(double x)
{
    return isfinite(x) && x > 0.0;
}

bool cut_not_negative(double x)
{
    return isfinite(x) && x >= 0.0;
}

static lev_status check_work(const lev_cut_work *w, lev_error *err)
{
    if ((int)w->family < 0 || w->family >= LEV_CUT_FAMILIES)
        return lev_fail(err, LEV_E_RANGE, "family %d is none of the %d known",
                        (int)w->family, LEV_CUT_FAMILIES);
    if (!cut_positive(w->hardness_gpa))
        return lev_fail(err, LEV_E_RANGE, "hardness %g GPa is not positive",
                        w->hardness_gpa);
    const double optional[] = {w->modulus_gpa,   w->pore_floor_um, w->conductivity_w_mk,
                               w->density_kg_m3, w->heat_j_kgk,    w->damage_c};
    for (size_t i = 0; i < sizeof optional / sizeof *optional; i++)
        if (!cut_not_negative(optional[i]))
            return lev_fail(err, LEV_E_RANGE,
                            "property %g of the work is not zero or positive",
                            optional[i]);
    if (w->loading < 0 || w->loading > 3)
        return lev_fail(err, LEV_E_RANGE, "loading %d is not 0 to 3", w->loading);
    return LEV_OK;
}

static bool has_grains(lev_cut_kind kind)
{
    return kind == LEV_CUT_GRIT || kind == LEV_CUT_BUFF || kind == LEV_CUT_GRAIN;
}

static lev_status check_tool(const lev_cut_tool *t, lev_error *err)
{
    const lev_grain_dist *g = &t->grain;
    const double optional[] = {t->mineral_hardness_gpa,
                               t->push_n,
                               t->contact_mm2,
                               t->speed_m_s,
                               t->feed_mm,
                               t->nose_mm};
    if ((int)t->kind < 0 || t->kind >= LEV_CUT_KINDS || (int)t->state < 0 ||
        t->state > LEV_CUT_TIRED || (int)t->fluid < 0 || t->fluid >= LEV_CUT_FLUIDS)
        return lev_fail(err, LEV_E_RANGE, "kind %d, state %d or fluid %d is unknown",
                        (int)t->kind, (int)t->state, (int)t->fluid);
    for (size_t i = 0; i < sizeof optional / sizeof *optional; i++)
        if (!cut_not_negative(optional[i]))
            return lev_fail(err, LEV_E_RANGE,
                            "figure %g of the tool is not zero or positive",
                            optional[i]);
    if (!has_grains(t->kind))
        return LEV_OK;
    if (!isfinite(g->mu_ln_um) || fabs(g->mu_ln_um) > 10.0)
        return lev_fail(err, LEV_E_RANGE, "grain of e^%g um is outside e^-10 to e^10",
                        g->mu_ln_um);
    if (!(g->sigma_ln >= 0.0 && g->sigma_ln <= 1.2))
        return lev_fail(err, LEV_E_RANGE, "spread of grains %g is not 0 to 1.2",
                        g->sigma_ln);
    if (!cut_not_negative(g->top_um) ||
        (g->top_um > 0.0 && g->top_um < exp(g->mu_ln_um)))
        return lev_fail(err, LEV_E_RANGE, "largest grain %g um is below the median %g",
                        g->top_um, exp(g->mu_ln_um));
    return LEV_OK;
}

/* Where the work is not a usual one for this model. */
static unsigned range_notes(const lev_cut_work *work, const lev_cut_pass *p)
{
    unsigned notes = 0;
    if (p->pressure_kpa < 0.5 || p->pressure_kpa > 100.0)
        notes |= LEV_NOTE_EXTRAPOLATED;
    if (work->family == LEV_CUT_GLASS)
        notes |= LEV_NOTE_OUTSIDE; /* chips by brittle fracture, not grooves */
    return notes;
}

static lev_status set_contact(const lev_cut_tool *tool, const cut_drive *drive,
                              double face_mm2, lev_cut_pass *p)
{
    const bool given = tool->contact_mm2 > 0.0;
    const double push_n = tool->push_n > 0.0 ? tool->push_n : drive->push_n;
    p->drive_slot = drive->slot;
    p->face_mm2 = face_mm2;
    p->contact_mm2 = fmin(given ? tool->contact_mm2 : drive->contact_mm2, face_mm2);
    p->pressure_kpa =
        push_n / p->contact_mm2 * LEV_UM_PER_MM * LEV_UM_PER_MM / LEV_PA_PER_KPA;
    p->speed_m_s = tool->speed_m_s > 0.0 ? tool->speed_m_s : drive->speed_m_s;
    p->pad_mpa = drive->pad_mpa;
    p->pad_mm = drive->pad_mm;
    p->change_s = drive->change_s;
    if (!given || !(tool->push_n > 0.0) || !(tool->speed_m_s > 0.0))
        p->notes |= LEV_NOTE_DEFAULT;
    return LEV_OK;
}

lev_status lev_cut_pass_init(const lev_cut_work *work, const lev_cut_tool *tool,
                             double face_mm2, lev_cut_pass *out, lev_error *err)
{
    lev_status st;
    cut_trust trust = {.mark = work->mark};
    cut_drive drive;
    lev_cut_pass p = {.kind = tool->kind};

    LEV_TRY(check_work(work, err));
    LEV_TRY(check_tool(tool, err));
    if (!cut_positive(face_mm2))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "face of %g mm2 is not positive", face_mm2));
    p.face_mm2 = face_mm2;
    if (has_grains(tool->kind)) {
        const char *usual = tool->kind == LEV_CUT_BUFF ? "buff" : "hand-wood";
        LEV_TRY(cut_drive_find(tool->drive != NULL ? tool->drive : usual, tool->backing,
                               &trust, &drive, err));
        LEV_TRY(set_contact(tool, &drive, face_mm2, &p));
        LEV_TRY(cut_pass_grit(work, tool, &drive, &trust, &p, err));
    } else {
        LEV_TRY(cut_pass_form(work, tool, &trust, &p, err));
    }
    p.mark = trust.mark;
    p.notes |= trust.notes | range_notes(work, &p);
    *out = p;
out:
    return st;
}

lev_cut_pass lev_cut_scaled(const lev_cut_pass *pass,
                            const double factor[LEV_CUT_FACTORS])
{
    const double texture = factor[LEV_CUT_F_TEXTURE], relax = factor[LEV_CUT_F_RELAX];
    lev_cut_pass p = *pass;
    const double pores2 = fmax(p.ra_um * p.ra_um - p.ra_own_um * p.ra_own_um, 0.0);
    p.ra_own_um *= texture;
    p.ra_um = sqrt(p.ra_own_um * p.ra_own_um + pores2);
    p.rz_um *= texture;
    p.deepest_um *= texture;
    p.patch_um_per_m *= factor[LEV_CUT_F_REMOVAL];
    p.face_um_per_min *= factor[LEV_CUT_F_REMOVAL];
    p.patch_life_um *= factor[LEV_CUT_F_LIFE];
    p.rho_long_um *= relax;
    p.mark_c *= relax;
    p.short_per_um /= relax;
    p.long_per_um /= relax;
    return p;
}

lev_cut_pass lev_cut_unfavourable(const lev_cut_pass *pass, double quantile)
{
    const double z = lev_norm_quantile(quantile);
    double factor[LEV_CUT_FACTORS];
    factor[LEV_CUT_F_TEXTURE] = exp(z * pass->lnsd[LEV_CUT_F_TEXTURE]);
    factor[LEV_CUT_F_RELAX] = exp(z * pass->lnsd[LEV_CUT_F_RELAX]);
    factor[LEV_CUT_F_REMOVAL] = exp(-z * pass->lnsd[LEV_CUT_F_REMOVAL]);
    factor[LEV_CUT_F_LIFE] = exp(-z * pass->lnsd[LEV_CUT_F_LIFE]);
    return lev_cut_scaled(pass, factor);
}

lev_spread lev_cut_ra_spread(const lev_cut_pass *pass)
{
    const double own2 = pass->ra_own_um * pass->ra_own_um;
    const double pores2 = fmax(pass->ra_um * pass->ra_um - own2, 0.0);
    const lev_spread f = lev_spread_lognormal(1.0, pass->lnsd[LEV_CUT_F_TEXTURE]);
    return (lev_spread){sqrt(own2 * f.p10 * f.p10 + pores2), pass->ra_um,
                        sqrt(own2 * f.p90 * f.p90 + pores2)};
}

double lev_cut_chance_below(const lev_cut_pass *pass, double limit_um,
                            double limit_lnsd)
{
    const double own2 = pass->ra_own_um * pass->ra_own_um;
    const double pores2 = fmax(pass->ra_um * pass->ra_um - own2, 0.0);
    const double room2 = limit_um * limit_um - pores2;
    const double lnsd = hypot(hypot(pass->lnsd[LEV_CUT_F_TEXTURE],
                                    cut_coef_find("reading_sd", "any", NULL).lnsd),
                              limit_lnsd);
    if (!(room2 > 0.0))
        return 0.0;
    return lev_norm_cdf(0.5 * log(room2 / own2) / lnsd);
}
