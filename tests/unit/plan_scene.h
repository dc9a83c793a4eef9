/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Invented faces for the planner's tests, with papers of the published P sizes. */
#ifndef PLAN_SCENE_H
#define PLAN_SCENE_H

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/plan_face.h"
#include "unit.h"

/* Median sizes of P papers, FEPA 43-1 (P80 to P220) and 43-GB (P240 on), um. */
static const struct {
    const char *label;
    double d50_um;
} PAPERS[] = {{"P80", 201.0},  {"P120", 125.0}, {"P180", 82.0}, {"P240", 58.5},
              {"P320", 46.2},  {"P400", 35.0},  {"P600", 25.8}, {"P800", 21.8},
              {"P1000", 18.3}, {"P1200", 15.3}, {"P2000", 10.3}};
enum { PAPERS_N = (int)(sizeof PAPERS / sizeof *PAPERS) };

typedef struct scene {
    lev_face face;
    lev_face_medium media[PAPERS_N];
} scene;

/* A brass plate 100 x 50 mm with saw marks, to a fine straight grain. */
static inline void brass_plate(scene *c)
{
    memset(c, 0, sizeof *c);
    for (int i = 0; i < PAPERS_N; i++)
        c->media[i] = (lev_face_medium){
            .system = "P",
            .label = PAPERS[i].label,
            .method = "",
            .grain = {.mu_ln_um = log(PAPERS[i].d50_um), .sigma_ln = 0.2},
            .d50_um = PAPERS[i].d50_um,
            .carrier = "paper",
            .sheet_mm2 = 230.0 * 280.0,
            .count = INFINITY,
            .price_minor = 100.0,
            .waterproof = true,
            .drives = "",
        };
    c->face = (lev_face){
        .name = "plate",
        .work = {.family = LEV_CUT_METAL, .hardness_gpa = 1.2, .modulus_gpa = 105.0},
        .material = "brass",
        .area_mm2 = 5000.0,
        .length_mm = 100.0,
        .width_mm = 50.0,
        .shape = "flat",
        .shape_time = 1.0,
        .thickness_mm = NAN,
        .budget_um = NAN,
        .edge_wear = 1.0,
        .fluid = "any",
        .drives = {"hand-plate"},
        .drives_n = 1,
        .start = {.texture_d50_um = NAN,
                  .mark_um = 60.0,
                  .mark_hi_um = NAN,
                  .spacing_um = NAN,
                  .lay_deg = NAN},
        .target = {.ra_max_um = 0.4,
                   .ra_min_um = NAN,
                   .rz_max_um = NAN,
                   .last_coarse_um = NAN,
                   .last_fine_um = NAN,
                   .last_label = "",
                   .lay = LEV_LAY_ONE_WAY},
        .media = c->media,
        .media_n = PAPERS_N,
        .count = 1,
        .labour_minor_per_s = 1.0,
        .check = "crossed-lamp",
        .miss = 0.63,
        .full_miss = 0.39,
        .full_look_s = 60.0,
    };
}

static inline void show(const lev_face_result *r)
{
    if (getenv("SHOW") == NULL)
        return;
    print_message("feasible %d why %s help %s points %d\n", r->feasible, r->why_not,
                  r->would_help, r->points);
    for (int i = 0; i < r->ladders; i++) {
        const lev_face_ladder *x = r->ladder + i;
        print_message("%s: %.1f/%.1f/%.1f min, %.0f minor, %.1f um\n", x->goal,
                      x->time_s.p10 / 60, x->time_s.p50 / 60, x->time_s.p90 / 60,
                      x->cost_minor.p50, x->remove_um.p50);
        for (int k = 0; k < x->steps; k++) {
            const lev_face_step *p = x->step + k;
            print_message("  %-16s %-10s %-7s %5.1f kPa %4.0f deg %6.2f um %5.1f min "
                          "%.2f sheets Ra %.3f res %.2f gate %d | %s | %s\n",
                          p->label, p->drive, p->push, p->pressure_kpa,
                          p->direction_deg, p->remove_um, p->time_s.p50 / 60,
                          p->sheets.p50, p->ra_after_um.p50, p->residue_um, p->gate,
                          p->why, p->if_skipped);
        }
    }
}

static inline void plan(const scene *c, lev_face_result *r)
{
    lev_error err = {0};
    assert_ok(lev_face_plan(&c->face, NULL, r, &err), &err);
    show(r);
}

#endif
