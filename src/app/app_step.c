/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step forward. See app_step.h. */
#include "app_step.h"

#include <math.h>
#include <string.h>

#include "levigate/note.h"

#include "json.h"
#include "num.h"
#include "units.h"

enum { USUAL_LENGTH_MM = 100, USUAL_WIDTH_MM = 50 }; /* the plate people picture */

/* Dimensions of one piece of abrasive for paper: a full metric sheet. */
static double sheet_area_mm2(void)
{
    for (int i = 0; i < LEV_TAB_ABRASIVE_SIZE_N; i++)
        if (strcmp(lev_tab_abrasive_size[i].form, "sheet") == 0)
            return lev_tab_abrasive_size[i].width_mm *
                   lev_tab_abrasive_size[i].length_mm;
    return 0.0;
}

/* face_mm2 other than the answer's own: the same push over a contact as large. */
static lev_status make_pass(const lev_step_request *req, const lev_grit *grit,
                            lev_step_answer *a, double face_mm2, lev_cut_pass *out,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    const bool other = !lev_near(face_mm2, a->area_mm2, 1e-12, 0.0);
    const lev_row_mineral *mineral = NULL;
    lev_cut_tool tool = {
        .kind = LEV_CUT_GRIT, .drive = a->drive->id, .push_n = a->push_n};
    LEV_TRY(lev_resolve_grain(grit, &tool.grain, &a->notes, err));
    LEV_TRY(lev_resolve_mineral(req->mineral, grit, a->work.material.family, &mineral,
                                err));
    tool.mineral = mineral->id;
    tool.mineral_hardness_gpa = isfinite(mineral->knoop_gpa) ? mineral->knoop_gpa : 0.0;
    if (req->fluid != NULL && req->fluid[0] != '\0')
        LEV_TRY(lev_resolve_fluid(req->fluid, &tool.fluid, err));
    if (other) {
        tool.contact_mm2 = face_mm2;
        tool.push_n = a->pass.pressure_kpa * face_mm2 * LEV_PA_PER_KPA / LEV_PA_PER_MPA;
    }
    LEV_TRY(lev_cut_pass_init(&a->work.work, &tool, face_mm2, out, err));
    a->notes |= out->notes;
    a->mark = lev_mark_weaker(a->mark, lev_mark_weaker(out->mark, grit->mark));
    if (grit == &a->grit)
        a->mineral = mineral;
out:
    return st;
}

static double left_allowed(const lev_step_answer *a)
{
    return a->has_after ? lev_cut_left_allowed(&a->after_pass, &a->pass,
                                               lev_resolve_miss("crossed-lamp"))
                        : 1.0;
}

/* Time and paper until the old lines are below what a crossed lamp shows. */
static lev_status cost_clear(lev_step_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_cut_cost cost = {0};
    if (!isfinite(a->clear_um))
        goto out;
    const lev_cut_job job = {.area_mm2 = a->area_mm2,
                             .remove_um = a->clear_um,
                             .sheet_mm2 = sheet_area_mm2()};
    LEV_TRY(lev_cut_cost_init(&a->pass, &job, &cost, err));
    const lev_cut_term time = lev_cut_time_term(&a->pass, &cost, true);
    const lev_cut_term sheets = lev_cut_sheet_term(&a->pass, &cost, true);
    a->clear_s = lev_cut_total(&time, 1);
    a->clear_sheets = lev_cut_total(&sheets, 1);
out:
    return st;
}

lev_status lev_app_step(const lev_step_request *req, lev_step_answer *out,
                        lev_error *err)
{
    lev_status st = LEV_OK;
    lev_step_answer a = {.clear_um = NAN, .mark = LEV_MARK_READ};
    a.clear_s.p50 = a.clear_sheets.p50 = NAN;
    a.area_mm2 =
        req->area_mm2 > 0.0 ? req->area_mm2 : (double)USUAL_LENGTH_MM * USUAL_WIDTH_MM;
    LEV_TRY(lev_resolve_work(req->material, req->state, &a.work, err));
    LEV_TRY(lev_resolve_drive(req->drive, &a.drive, err));
    LEV_TRY(lev_resolve_push(req->push, a.drive, &a.push_n, &a.push, err));
    LEV_TRY(lev_resolve_marking(req->grit, req->system, &a.grit, &a.notes, err));
    a.notes |= a.work.notes;
    a.mark = a.work.work.mark;
    LEV_TRY(make_pass(req, &a.grit, &a, a.area_mm2, &a.pass, err));
    a.ra_um = lev_cut_ra_spread(&a.pass);
    a.deepest_um =
        lev_spread_lognormal(a.pass.deepest_um, a.pass.lnsd[LEV_CUT_F_TEXTURE]);
    a.has_after = req->after != NULL && req->after[0] != '\0';
    if (a.has_after) {
        LEV_TRY(lev_resolve_marking(req->after, req->system, &a.after, &a.notes, err));
        LEV_TRY(make_pass(req, &a.after, &a, a.area_mm2, &a.after_pass, err));
        a.clear_um = lev_cut_clear_after_um(&a.after_pass, &a.pass,
                                            lev_resolve_miss("crossed-lamp"));
    }
    if (req->simulate) {
        lev_cut_pass section;
        const double side_mm =
            LEV_STEP_SECTIONS * LEV_STEP_GRAINS * a.pass.d50_um / LEV_UM_PER_MM;
        LEV_TRY(make_pass(req, &a.grit, &a, side_mm * side_mm, &section, err));
        LEV_TRY(lev_step_simulate(req, &section, left_allowed(&a), &a, err));
    }
    if (a.has_after)
        LEV_TRY(cost_clear(&a, err));
    *out = a;
out:
    return st;
}

static json_t *grit_json(const lev_grit *g, int *failed)
{
    json_t *o = json_object();
    *failed |= lev_json_put_text(o, "system", g->system);
    *failed |= lev_json_put_text(o, "label", g->label);
    *failed |= lev_json_put_text(o, "method", g->method);
    *failed |= lev_json_put_number(o, "d50_um", g->d50_um);
    return o;
}

static void put_surface(json_t *r, const lev_step_answer *a, int *failed)
{
    const lev_step_surface *const s = &a->surface;
    const struct {
        const char *key;
        double kernel, surface;
    } rows[] = {{"Ra_um", a->ra_um.p50, s->ra_um},
                {"deepest_um", a->deepest_um.p50, s->deepest_um},
                {"removal_um_per_m", a->pass.patch_um_per_m, s->removal_um_per_m},
                {"clear_um", a->clear_um, s->clear_um}};
    json_t *const surface = json_object(), *const differs = json_object();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        *failed |= lev_json_put_number(surface, rows[i].key, rows[i].surface);
        *failed |=
            lev_json_put_number(differs, rows[i].key,
                                lev_step_differs_pct(rows[i].kernel, rows[i].surface));
    }
    *failed |= lev_json_put_flag(r, "simulated", true);
    *failed |= lev_json_put(r, "surface", surface);
    *failed |= lev_json_put(r, "differs_pct", differs);
    *failed |= lev_json_put_int(r, "seed", (int64_t)a->seed);
    *failed |= lev_json_put_int(r, "model", LEV_SIM_MODEL);
}

json_t *lev_app_step_json(const lev_step_answer *a, int *failed)
{
    json_t *r = lev_json_reply();
    *failed |= lev_json_put_text(r, "material", a->work.material.id);
    *failed |= lev_json_put_number(r, "hardness_gpa", a->work.work.hardness_gpa);
    *failed |= lev_json_put(r, "grit", grit_json(&a->grit, failed));
    if (a->has_after)
        *failed |= lev_json_put(r, "after", grit_json(&a->after, failed));
    *failed |= lev_json_put_text(r, "mineral", a->mineral->id);
    *failed |= lev_json_put_text(r, "drive", a->drive->id);
    *failed |= lev_json_put_text(r, "push", a->push != NULL ? a->push->id : "");
    *failed |= lev_json_put_number(r, "push_n", a->push_n);
    *failed |= lev_json_put_number(r, "pressure_kpa", a->pass.pressure_kpa);
    *failed |= lev_json_put_number(r, "speed_m_s", a->pass.speed_m_s);
    *failed |= lev_json_put_number(r, "area_mm2", a->area_mm2);
    *failed |= lev_json_put_spread(r, "Ra_um", a->ra_um);
    *failed |= lev_json_put_number(r, "Rz_um", a->pass.rz_um);
    *failed |= lev_json_put_spread(r, "deepest_um", a->deepest_um);
    *failed |= lev_json_put_number(r, "removal_um_per_m", a->pass.patch_um_per_m);
    *failed |= lev_json_put_number(r, "removal_um_per_min", a->pass.face_um_per_min);
    *failed |= lev_json_put_number(r, "clear_um", a->clear_um);
    *failed |= lev_json_put_spread(r, "clear_s", a->clear_s);
    *failed |= lev_json_put_spread(r, "clear_sheets", a->clear_sheets);
    *failed |= lev_json_put_number(r, "sheet_life_um", a->pass.patch_life_um);
    if (a->simulated)
        put_surface(r, a, failed);
    *failed |= lev_json_put_text(r, "mark", lev_mark_name(a->mark));
    *failed |= lev_json_put_notes(r, a->notes);
    return r;
}
