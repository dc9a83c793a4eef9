/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The truth behind a coupon, from the tables of grits and materials, from Stokes' law
 * (Trans. Cambridge Phil. Soc. 9 (1851) part II, 8), and from the models of cutting and
 * of light. See app_exercise_truth.h. */
#include "app_exercise_truth.h"

#include <stdio.h>
#include <string.h>

#include "app_step.h"
#include "levigate/grit.h"
#include "levigate/material.h"
#include "levigate/optics.h"
#include "text.h"

/* 50 x 25 mm of a coupon, and what turns mm2 um kg/m3 into mg (exact). */
static const double COUPON_MM2 = 50.0 * 25.0;
static const double MG_PER_MM2_UM_KG_M3 = 1e-6;
static const double GRAVITY_M_S2 = 9.80665; /* standard acceleration, exact */
static const double S_PER_MIN = 60.0;

static const char *const COUPON_DRIVE = "hand-wood", *const COUPON_FLUID = "water",
                         *const JAR_MINERAL = "brown-alumina";

static lev_status grain(const lev_row_exercise *x, const lev_row_exercise_coupon *r,
                        lev_exercise_coupon *c, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit g;
    (void)x;
    LEV_TRY(lev_grit_find(r->system, r->label, r->method, &g, err));
    c->truth = g.d50_um;
    (void)snprintf(c->words, sizeof c->words, "%.30s, system %.30s", g.label, g.system);
out:
    return st;
}

static lev_status loss(const lev_row_exercise *x, const lev_row_exercise_coupon *r,
                       lev_exercise_coupon *c, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_material m;
    LEV_TRY(lev_material_find(r->material, &m, err));
    c->truth = m.density_kg_m3.value * COUPON_MM2 * x->depth_um * MG_PER_MM2_UM_KG_M3;
    (void)snprintf(c->words, sizeof c->words, "%.110s", m.name);
out:
    return st;
}

static lev_status fall(const lev_row_exercise *x, const lev_row_exercise_coupon *r,
                       lev_exercise_coupon *c, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_row_liquid *water = &lev_tab_liquid[0];
    const lev_row_mineral *mineral = &lev_tab_mineral[0];
    LEV_TRY(grain(x, r, c, err));
    for (int i = 0; i < LEV_TAB_MINERAL_N; i++)
        if (strcmp(lev_tab_mineral[i].id, JAR_MINERAL) == 0)
            mineral = &lev_tab_mineral[i];
    const double d_m = c->truth * 1e-6;
    const double speed_m_s = (mineral->density_kg_m3 - water->density_kg_m3) *
                             GRAVITY_M_S2 * d_m * d_m /
                             (18.0 * water->viscosity_mpa_s * 1e-3);
    c->truth = x->fall_mm * 1e-3 / speed_m_s;
out:
    return st;
}

static lev_step_request step_on(const lev_row_exercise_coupon *r, const char *grit,
                                const char *after)
{
    return (lev_step_request){.material = r->material,
                              .grit = grit,
                              .system = r->system,
                              .drive = COUPON_DRIVE,
                              .fluid = COUPON_FLUID,
                              .after = after,
                              .area_mm2 = COUPON_MM2};
}

/* From the lines found, grit by grit, each until the one before is gone. */
static lev_status work(const lev_row_exercise *x, const lev_row_exercise_coupon *r,
                       lev_exercise_coupon *c, lev_error *err)
{
    lev_status st = LEV_OK;
    char after[32], grit[32];
    lev_text words = {0};
    const char *rest = r->through;
    (void)x;
    c->truth = 0.0;
    lev_text_print(&words, "%s lines", r->after);
    (void)snprintf(after, sizeof after, "%s", r->after);
    for (bool last = false; !last;) {
        const size_t n = strcspn(rest, ";");
        lev_step_answer a;
        last = n == 0;
        (void)snprintf(grit, sizeof grit, "%.*s", last ? 31 : (int)n,
                       last ? r->label : rest);
        rest += n + (rest[n] == ';');
        const lev_step_request q = step_on(r, grit, after);
        LEV_TRY(lev_app_step(&q, &a, err));
        c->truth += a.clear_s.p50 / S_PER_MIN;
        lev_text_print(&words, ", %s", grit);
        (void)snprintf(after, sizeof after, "%s", grit);
    }
    (void)snprintf(c->words, sizeof c->words, "%.110s", lev_text_get(&words));
out:
    lev_text_release(&words);
    return st;
}

static lev_status lift(const lev_row_exercise *x, const lev_row_exercise_coupon *r,
                       lev_exercise_coupon *c, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_step_answer a;
    lev_look_request look = {0};
    lev_texture_light light;
    LEV_TRY(grain(x, r, c, err));
    const lev_step_request q = step_on(r, r->label, NULL);
    LEV_TRY(lev_app_step(&q, &a, err));
    LEV_TRY(lev_optics_find(r->material, &look.optic, err));
    const lev_texture t = {.ra_um = a.ra_um.p50, .one_way = true};
    LEV_TRY(lev_optics_texture_light(&t, &look, &light, err));
    c->truth = light.readable_mm.p50;
out:
    return st;
}

lev_status exercise_truth(const lev_row_exercise *x, const lev_row_exercise_coupon *r,
                          lev_exercise_coupon *c, lev_error *err)
{
    static const struct {
        const char *unit;
        lev_status (*find)(const lev_row_exercise *, const lev_row_exercise_coupon *,
                           lev_exercise_coupon *, lev_error *);
    } ways[] = {{"um", grain}, {"mg", loss}, {"s", fall}, {"min", work}, {"mm", lift}};
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        if (strcmp(ways[i].unit, x->unit) == 0)
            return ways[i].find(x, r, c, err);
    return lev_fail(err, LEV_E_RANGE, "exercise %s is guessed in no unit", x->id);
}
