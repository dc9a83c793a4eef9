/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face of a job in the planner's terms. See app_face.h. */
#include "app_face.h"

#include <math.h>
#include <string.h>

#include "levigate/note.h"
#include "text.h"
#include "units.h"

double lev_habit(const char *id)
{
    for (int i = 0; i < LEV_TAB_HABIT_N; i++)
        if (strcmp(lev_tab_habit[i].id, id) == 0)
            return 0.5 * (lev_tab_habit[i].low + lev_tab_habit[i].high);
    return NAN;
}

static double shape_time(const char *shape)
{
    for (int i = 0; i < LEV_TAB_SHAPE_FACTOR_N; i++)
        if (strcmp(lev_tab_shape_factor[i].id, shape) == 0)
            return sqrt(lev_tab_shape_factor[i].low * lev_tab_shape_factor[i].high);
    return 1.0;
}

static const lev_row_hold *hold_row(const char *hold)
{
    for (int i = 0; i < LEV_TAB_HOLD_N && hold[0] != '\0'; i++)
        for (const char *p = hold; *p != '\0'; p++)
            if (lev_text_begins(p, lev_tab_hold[i].id))
                return &lev_tab_hold[i];
    return NULL;
}

static const lev_row_check *check_row(const char *id)
{
    for (int i = 0; i < LEV_TAB_CHECK_N; i++)
        if (strcmp(lev_tab_check[i].id, id) == 0)
            return &lev_tab_check[i];
    return &lev_tab_check[0];
}

/* A veneer whose budget nobody told keeps what veneers are left with. */
static double budget_of(const lev_job_face *f, const lev_material *m,
                        lev_face_sources *sources)
{
    const double keep_um = 1e3 * lev_habit("veneer-left");
    if (isfinite(f->budget_um) || !lev_material_is_wood(m) || !isfinite(keep_um) ||
        !(f->thickness_mm < 1.0)) /* style: thinner than sawn veneer */
        return f->budget_um;
    sources->notes |= LEV_NOTE_DEFAULT;
    return fmax(0.0, f->thickness_mm * LEV_UM_PER_MM - keep_um);
}

static void fill_checks(lev_face *out)
{
    const lev_row_check *full = check_row("lens");
    out->check = "crossed-lamp";
    out->miss = lev_resolve_miss(out->check);
    out->full_miss = lev_resolve_miss(full->id);
    out->full_look_s = full->seconds;
}

static lev_status fill_drives(const lev_job_face *f, lev_face *out, lev_error *err)
{
    lev_status st = LEV_OK;
    for (ptrdiff_t i = 0; i < f->drives_n && out->drives_n < LEV_FACE_DRIVES; i++) {
        const lev_row_drive *drive = NULL;
        LEV_TRY(lev_resolve_drive(f->drives[i], &drive, err));
        out->drives[out->drives_n++] = drive->id;
    }
out:
    return st;
}

lev_status lev_face_resolve(const lev_job *job, const lev_job_face *f, lev_arena *arena,
                            lev_face *out, lev_face_sources *sources, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face face = {.name = f->name,
                     .area_mm2 = f->area_mm2,
                     .length_mm = f->length_mm,
                     .width_mm = f->width_mm,
                     .shape = f->shape,
                     .shape_time = shape_time(f->shape),
                     .thickness_mm = f->thickness_mm,
                     .fluid = f->fluid,
                     .count = job->count,
                     .labour_minor_per_s =
                         (double)job->labour_minor_per_h / LEV_S_PER_H,
                     .steps_without_grit = true};
    *sources = (lev_face_sources){0};
    LEV_TRY(lev_resolve_work(f->material, f->state, &sources->work, err));
    const lev_material *m = &sources->work.material;
    sources->notes = sources->work.notes;
    sources->hold = hold_row(f->hold);
    face.work = sources->work.work;
    face.material = m->name;
    face.budget_um = budget_of(f, m, sources);
    face.edge_wear = isfinite(face.budget_um) ? lev_habit("edge-wear") : 1.0;
    fill_checks(&face);
    LEV_TRY(fill_drives(f, &face, err));
    LEV_TRY(lev_face_start_of(f, m, arena, &face.start, sources, err));
    LEV_TRY(lev_face_target_of(f, m, arena, &face.target, sources, err));
    *out = face;
out:
    return st;
}
