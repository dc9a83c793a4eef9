/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A step of grains: the steady surface under them, how fast they cut, how long they
 * last. v = 2 f p / (pi H t) is the load balance; the rest are factors of data/cut/. */
#include "cut_pass.h"

#include <math.h>
#include <stdio.h>

#include "cut_decay.h"
#include "cut_response.h"
#include "cut_touch.h"
#include "num.h"
#include "units.h"

/* Half of the faces have a deeper line than the count ln 2 gives. */
static const double HALF = 0.69314718055994531; /* ln 2 */

/* Share of full cutting at this ratio of hardnesses: hardly any below the published
 * lower limit, half at the knee, all from the upper one. */
static double hardness_share(double ratio, cut_trust *trust)
{
    const double low = cut_coef_get("hard_low", "any", trust);
    const double knee = cut_coef_get("hard_knee", "any", trust);
    const double full = cut_coef_get("hard_full", "any", trust);
    const double least = cut_coef_get("least", "any", trust);
    if (ratio >= full)
        return 1.0;
    if (ratio >= knee)
        return 0.5 + 0.5 * (ratio - knee) / (full - knee);
    if (ratio >= low)
        return least + (0.5 - least) * (ratio - low) / (knee - low);
    return least;
}

/* Removed share of a groove's section times the room for chips between finer grains,
 * at most all of it. Only the rate feels the size: grooves of all sizes are alike. */
static double chip_share(const lev_cut_work *work, double d50_um, double f_ab,
                         cut_trust *trust)
{
    const char *family = cut_family_word(work->family);
    const double critical_um = cut_coef_get("size_um", family, trust);
    const double from_um = cut_coef_get("size_from", family, trust);
    const double size = fmin(d50_um, critical_um) / from_um;
    const cut_coef fine = cut_coef_find("fine_um", family, trust);
    const double clogged =
        fine.found && d50_um < fine.median
            ? pow(d50_um / fine.median, cut_coef_get("fine_size", family, trust))
            : 1.0;
    return fmin(f_ab * pow(size, cut_coef_get("fab_size", family, trust)), 1.0) *
           clogged;
}

static double rate_factors(const lev_cut_work *work, const lev_cut_tool *tool,
                           const cut_drive *drive, cut_trust *trust)
{
    char hop[64], level[2] = {(char)('0' + work->loading), '\0'};
    const char *family = cut_family_word(work->family);
    const char *fluid = cut_fluid_word(tool->fluid);
    const double clog = cut_coef_get("clog", level, trust);
    const double stays = cut_coef_get("wet_clog", fluid, trust);
    const bool wood = work->family == LEV_CUT_WOOD;
    double factor = cut_coef_get("sharp", cut_state_word(tool->state), trust);
    factor *= cut_coef_find("keen", tool->mineral, trust).median;
    factor *= wood ? 1.0 : cut_coef_get("wet", fluid, trust);
    factor *= wood ? 1.0 : 1.0 - stays * (1.0 - clog);
    (void)snprintf(hop, sizeof hop, "%s.%s", family, drive->id);
    factor *= cut_coef_find("hop", hop, trust).median;
    if (tool->mineral_hardness_gpa > 0.0)
        factor *=
            hardness_share(tool->mineral_hardness_gpa / work->hardness_gpa, trust);
    return factor;
}

/* Log-sd of every factor, by the rows that go into it. */
static void set_spreads(const lev_cut_work *work, const char *carrier,
                        const cut_response *r, lev_cut_pass *p)
{
    const char *family = cut_family_word(work->family);
    const double eb = cut_coef_find("eb", carrier, NULL).lnsd;
    const double by_eb = cut_coef_get("texture_eb", "any", NULL);
    const double model = cut_coef_find("texture_sd", "any", NULL).lnsd;
    const double life = cut_coef_find("kappa", family, NULL).lnsd;
    const double by = cut_coef_find("kappa_by", carrier, NULL).lnsd;
    p->lnsd[LEV_CUT_F_TEXTURE] = hypot(hypot(by_eb * eb, model), r->ra_lnsd);
    p->lnsd[LEV_CUT_F_RELAX] = hypot(cut_coef_find("relax_sd", "any", NULL).lnsd,
                                     cut_coef_find("lines_sd", "any", NULL).lnsd);
    p->lnsd[LEV_CUT_F_REMOVAL] = hypot(cut_coef_find("fab", family, NULL).lnsd,
                                       cut_coef_find("drive_sd", "any", NULL).lnsd);
    p->lnsd[LEV_CUT_F_LIFE] = hypot(life, by);
}

/* Rz: highest ridge to deepest groove on one sampling length of ISO 21920-3 by Ra. */
static double sampling_mm(double ra_um)
{
    static const double limits[4][2] = {
        {0.02, 0.08}, {0.1, 0.25}, {2.0, 0.8}, {10.0, 2.5}};
    for (int i = 0; i < 4; i++)
        if (ra_um <= limits[i][0])
            return limits[i][1];
    return 8.0;
}

/* The groove kernel's answer at the groups of this step. */
static cut_response response_of(const lev_cut_tool *tool, const cut_touch *in,
                                double f_ab)
{
    const double group[CUT_GROUPS] = {
        [CUT_HARDNESS_RATIO] = in->hardness_pa / in->backing_pa,
        [CUT_PRESSURE_RATIO] = in->pressure_pa / in->backing_pa,
        [CUT_TIP_SPREAD] = in->tangent,
        [CUT_REMOVED_SHARE] = f_ab,
        [CUT_LN_SIGMA] = tool->grain.sigma_ln,
        [CUT_LEVELLED] = in->level};
    return cut_response_at(group);
}

/* Decay of textures by the surface: it knows old grains of twice the size; two
 * exponents, by the kernel too, carry it to others. The measures keep one share of long
 * waves for all steps; with it both are set to agree where a half and a tenth of the
 * lines are left.
 */
static void set_decay(const cut_response *r, lev_cut_pass *p)
{
    const lev_cut_lines old = lev_cut_lines_of(2.0 * p->d50_um);
    const cut_two_parts two = cut_response_parts(r, old.long_share);
    p->short_per_um = old.short_scale / (two.rho_short * p->d50_um);
    p->long_per_um = old.long_scale / (two.rho_long * p->d50_um);
}

static void set_texture(const cut_steady *s, const cut_touch *in, double ridge,
                        double pore_um, const cut_response *r, lev_cut_pass *p)
{
    const double scale = in->d50_um * ridge;
    const double own_um = s->ra * scale * r->ra;
    const double length = sampling_mm(own_um) * LEV_UM_PER_MM / in->d50_um;
    /* lines as long as the face is wide: as many sections as its side has room */
    const double side = sqrt(p->face_mm2) * LEV_UM_PER_MM / in->d50_um;
    p->ra_own_um = own_um;
    p->ra_um = hypot(own_um, pore_um);
    p->rz_um = scale *
               (cut_steady_extreme(s, length, HALF, 1) +
                cut_steady_extreme(s, length, HALF, -1)) *
               r->ra * p->ra_um / own_um;
    p->deepest_um = scale * r->deepest * cut_steady_extreme(s, side, HALF, 1);
    p->rho_long_um = s->stand_out * r->rho_long * in->d50_um;
    set_decay(r, p);
    p->mark_c = cut_coef_get("mark_c", "any", NULL);
}

static lev_status read_carrier(const lev_cut_tool *tool, const cut_drive *drive,
                               cut_trust *trust, lev_cut_pass *p, lev_error *err)
{
    const char *carrier = tool->carrier != NULL ? tool->carrier : "paper";
    const cut_coef eb = cut_coef_find("eb", carrier, trust);
    if (!eb.found)
        return lev_fail(err, LEV_E_UNKNOWN, "carrier \"%.40s\" is not known", carrier);
    /* two springs in a row: the sheet's own, and the pad as one grain feels it */
    const double spread = cut_coef_get("spread", carrier, trust);
    const double pad = drive->pad_mpa > 0.0 ? spread / drive->pad_mpa : 0.0;
    p->backing_mpa = 1.0 / (1.0 / eb.median + pad);
    if (tool->carrier == NULL)
        p->notes |= LEV_NOTE_DEFAULT;
    return LEV_OK;
}

static cut_touch read_touch(const lev_cut_work *work, const lev_cut_tool *tool,
                            const lev_cut_pass *p, cut_trust *trust)
{
    const char *state =
        cut_state_word(tool->kind == LEV_CUT_GRAIN ? LEV_CUT_FRESH : tool->state);
    const double part = cut_coef_get("run_part", "any", trust);
    return (cut_touch){
        .d50_um = p->d50_um,
        .tangent = cut_tangent(cut_coef_get("cone", "grain", trust)),
        .hardness_pa = work->hardness_gpa * LEV_PA_PER_GPA,
        .backing_pa = p->backing_mpa * LEV_PA_PER_MPA,
        .pressure_pa = p->pressure_kpa * LEV_PA_PER_KPA,
        .xi = cut_coef_get("xi", "grain", trust),
        .coverage =
            cut_coef_get("coverage", tool->open_coat ? "open" : "closed", trust),
        .level = cut_coef_get("share", state, trust),
        .level_pa = pow(p->pressure_kpa, 1.0 - part) *
                    pow(cut_coef_get("run_kpa", "any", trust), part) * LEV_PA_PER_KPA};
}

/* What a simulation of the same step starts from. */
static lev_cut_grains grains_of(const lev_cut_work *work, const lev_cut_tool *tool,
                                const cut_touch *in, double f_ab)
{
    return (lev_cut_grains){
        .ln_sigma = tool->grain.sigma_ln,
        .top_um = tool->grain.top_um,
        .cone_deg = atan(in->tangent) * 180.0 / LEV_PI,
        .height_xi = in->xi,
        .coverage = in->coverage,
        .levelled = in->level,
        .removed_share = f_ab,
        .hardness_gpa = work->hardness_gpa,
    };
}

lev_status cut_pass_grit(const lev_cut_work *work, const lev_cut_tool *tool,
                         const cut_drive *drive, cut_trust *trust, lev_cut_pass *p,
                         lev_error *err)
{
    lev_status st;
    cut_steady s;
    const char *family = cut_family_word(work->family);
    const char *carrier = tool->carrier != NULL ? tool->carrier : "paper";

    p->d50_um = exp(tool->grain.mu_ln_um);
    LEV_TRY(read_carrier(tool, drive, trust, p, err));
    const cut_touch in = read_touch(work, tool, p, trust);
    const double f_ab = cut_coef_get("fab", family, trust);
    (void)cut_touch_solve(&tool->grain, &in, &s);

    const bool galls =
        work->galling && tool->fluid == LEV_CUT_DRY && work->family == LEV_CUT_METAL;
    const double ridge =
        (1.0 + cut_coef_get("ridge", "texture", trust) * (1.0 - f_ab)) *
        (galls ? cut_coef_get("gall", "dry", trust) : 1.0);
    const cut_response r = response_of(tool, &in, f_ab);
    set_texture(&s, &in, ridge, work->pore_floor_um, &r, p);
    if (r.outside)
        trust->notes |= LEV_NOTE_EXTRAPOLATED;

    const double sharp = 2.0 * chip_share(work, p->d50_um, f_ab, trust) *
                         in.pressure_pa / (LEV_PI * in.hardness_pa * in.tangent) *
                         rate_factors(work, tool, drive, trust);
    p->patch_um_per_m = sharp * LEV_UM_PER_M;
    p->grains = grains_of(work, tool, &in, f_ab);
    p->grains.rate =
        sharp * LEV_PI * in.hardness_pa * in.tangent / (2.0 * f_ab * in.pressure_pa);
    p->face_um_per_min =
        p->patch_um_per_m * p->speed_m_s * LEV_S_PER_MIN * p->contact_mm2 / p->face_mm2;
    p->patch_life_um = p->d50_um * cut_coef_get("kappa", family, trust) *
                       cut_coef_get("kappa_by", carrier, trust) *
                       cut_coef_get("life_left", cut_state_word(tool->state), trust);
    p->floor_share = cut_coef_get("floor", family, trust);
    set_spreads(work, carrier, &r, p);
out:
    return st;
}
