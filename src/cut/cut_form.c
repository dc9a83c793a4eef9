/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps that are no grit: files, scrapers, planes, turning cuts, burnishers. Texture
 * by the pitch of their teeth, by a usual Rz, or by feed and nose radius; removal by
 * Archard's law or by the volume of a shaving. Rows of data/cut/steps.csv. */
#include "cut_pass.h"

#include <math.h>
#include <string.h>

#include "lev_tables.h"
#include "num.h"
#include "units.h"

static const char *kind_word(lev_cut_kind kind)
{
    static const char *const words[LEV_CUT_KINDS] = {"grit",    "file",  "draw-file",
                                                     "scraper", "plane", "lathe-cut",
                                                     "burnish", "buff",  "grain"};
    return words[kind];
}

/* The row asked for by id, or the first of the kind for this family. */
static const lev_row_cut_step *find_form(const lev_cut_work *work,
                                         const lev_cut_tool *tool)
{
    const char *const kind = kind_word(tool->kind);
    const char *const family = cut_family_word(work->family);
    const lev_row_cut_step *other = NULL;
    for (int i = 0; i < LEV_TAB_CUT_STEP_N; i++) {
        const lev_row_cut_step *row = &lev_tab_cut_step[i];
        if (strcmp(row->kind, kind) != 0)
            continue;
        if (tool->form != NULL && strcmp(row->id, tool->form) == 0)
            return row;
        if (tool->form == NULL && strcmp(row->family, family) == 0)
            return row;
        if (tool->form == NULL && other == NULL)
            other = row;
    }
    return other;
}

/* An arc of radius r fed f a turn: Rz = f^2 / (8 r), Ra = f^2 / (18 sqrt(3) r). */
static void set_turned(const lev_cut_tool *tool, cut_trust *trust, lev_cut_pass *p)
{
    const double usual_feed_mm = cut_coef_get("turn_mm", "feed", trust);
    const double usual_nose_mm = cut_coef_get("turn_mm", "nose", trust);
    const double f = tool->feed_mm > 0.0 ? tool->feed_mm : usual_feed_mm;
    const double r = tool->nose_mm > 0.0 ? tool->nose_mm : usual_nose_mm;
    if (!(tool->feed_mm > 0.0 && tool->nose_mm > 0.0))
        p->notes |= LEV_NOTE_DEFAULT;
    p->rz_um = f * f / (8.0 * r) * LEV_UM_PER_MM;
    p->ra_own_um = f * f / (18.0 * sqrt(3.0) * r) * LEV_UM_PER_MM;
}

static void set_form_texture(const lev_cut_work *work, const lev_cut_tool *tool,
                             const lev_row_cut_step *row, cut_trust *trust,
                             lev_cut_pass *p)
{
    if (tool->kind == LEV_CUT_LATHE) {
        set_turned(tool, trust, p);
    } else if (tool->kind != LEV_CUT_BURNISH) {
        p->rz_um = lev_known(row->rz_um)
                       ? row->rz_um
                       : row->pitch_mm * row->rz_pitch * LEV_UM_PER_MM;
        p->ra_own_um = p->rz_um * row->ra_rz;
    }
    p->ra_keep = lev_known(row->keep) ? row->keep : 0.0;
    p->ra_um = hypot(p->ra_own_um, work->pore_floor_um);
    p->deepest_um = cut_coef_get("deep", "form", trust) * p->rz_um;
}

static void set_form_removal(const lev_cut_work *work, const lev_cut_tool *tool,
                             const lev_row_cut_step *row, lev_cut_pass *p)
{
    const double push_n = tool->push_n > 0.0 ? tool->push_n : row->push_n;
    const double hardness_mpa = work->hardness_gpa * LEV_PA_PER_GPA / LEV_PA_PER_MPA;
    const double m_to_mm = LEV_UM_PER_M / LEV_UM_PER_MM;
    double mm3_per_m = 0.0;
    p->contact_mm2 = fmin(
        tool->contact_mm2 > 0.0 ? tool->contact_mm2 : row->contact_mm2, p->face_mm2);
    p->speed_m_s = tool->speed_m_s > 0.0 ? tool->speed_m_s : row->speed_m_s;
    p->pressure_kpa = push_n / p->contact_mm2 * LEV_PA_PER_MPA / LEV_PA_PER_KPA;
    if (lev_known(row->archard)) /* Archard: V = k F L / H */
        mm3_per_m = row->archard * push_n / hardness_mpa * m_to_mm;
    else if (lev_known(row->volume_mm3))
        mm3_per_m = row->volume_mm3 *
                    (tool->kind == LEV_CUT_LATHE && tool->feed_mm > 0.0
                         ? tool->feed_mm / cut_coef_get("turn_mm", "feed", NULL)
                         : 1.0);
    p->patch_um_per_m = mm3_per_m / p->contact_mm2 * LEV_UM_PER_MM;
    p->face_um_per_min =
        mm3_per_m * p->speed_m_s * LEV_S_PER_MIN / p->face_mm2 * LEV_UM_PER_MM;
    p->patch_life_um = INFINITY;
    p->floor_share = 1.0;
}

lev_status cut_pass_form(const lev_cut_work *work, const lev_cut_tool *tool,
                         cut_trust *trust, lev_cut_pass *p, lev_error *err)
{
    const lev_row_cut_step *row = find_form(work, tool);
    if (row == NULL)
        return lev_fail(err, LEV_E_UNKNOWN, "no %s is called \"%.40s\"",
                        kind_word(tool->kind), tool->form != NULL ? tool->form : "");
    if (strcmp(row->family, cut_family_word(work->family)) != 0)
        p->notes |= LEV_NOTE_EXTRAPOLATED;
    cut_trust_add(trust, row->mark);
    p->drive_slot = LEV_CUT_DRIVE_SLOTS - 1;
    set_form_texture(work, tool, row, trust, p);
    set_form_removal(work, tool, row, p);
    if (tool->kind != LEV_CUT_BURNISH && p->rz_um > 0.0) {
        /* A tool guided by its own length cuts what stands above it: an old wave is
         * gone by e when about its own Rz has been taken off. */
        p->rho_long_um = p->rz_um;
        p->long_per_um = 1.0 / p->rz_um;
        p->short_per_um = 1.0 / p->rz_um;
        p->mark_c = 1.0;
    }
    p->lnsd[LEV_CUT_F_TEXTURE] = row->lnsd;
    p->lnsd[LEV_CUT_F_REMOVAL] = row->lnsd;
    p->lnsd[LEV_CUT_F_RELAX] = cut_coef_find("relax_sd", "any", NULL).lnsd;
    return LEV_OK;
}
