/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each step of a job's ladders will show. See app_look_job.h. */
#include "app_look_job.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"
#include "optics_figure.h"

static const double ra_most_um = 50.0; /* beyond, nothing is reflected but light */

/* What lies between marks that do not cover the face; NULL: they do. */
static const lev_row_process_between *between(const lev_row_process_start *row)
{
    for (int i = 0; row != NULL && i < LEV_TAB_PROCESS_BETWEEN_N; i++)
        if (strcmp(lev_tab_process_between[i].id, row->id) == 0)
            return &lev_tab_process_between[i];
    return NULL;
}

/* Ra of the face as found: of what lies between its marks where that is known, else
 * marks of a known depth as the Ra of a face that has them all over. */
static double start_ra_um(const lev_plan_face_answer *f)
{
    const lev_face_start *s = &f->face.start;
    const lev_row_process_between *row = between(f->sources.start);
    if (row != NULL)
        return sqrt(row->ra_low_um * row->ra_high_um);
    return isfinite(s->mark_um) && s->mark_um > 0.0
               ? fmin(s->mark_um / lev_light_figure("mark_over_ra"), ra_most_um)
               : (double)NAN;
}

/* The last step that leaves a texture of its own; -1: none does. */
static int last_texture(const lev_face_ladder *l)
{
    int i = l->steps - 1;
    while (i >= 0 && !(l->step[i].ra_after_um.p50 > 0.0))
        i--;
    return i;
}

lev_status lev_app_look_face(const lev_look_ask *ask, const lev_plan_face_answer *f,
                             lev_look_answer *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_look_ask own = *ask;
    own.material = f->sources.work.material.id;
    (void)snprintf(out->face, sizeof out->face, "%s", f->face.name);
    out->material = own.material;
    const lev_face_ladder *const ladder = lev_plan_chosen(f);
    if (ladder == NULL)
        goto out;
    const int last = last_texture(ladder);
    const double start = start_ra_um(f);
    if (isfinite(start))
        LEV_TRY(lev_look_add_finish(&own, "START", start, true, out, err));
    for (int i = 0; i < ladder->steps; i++) {
        const lev_face_step *const s = &ladder->step[i];
        const double ra = s->ra_after_um.p50;
        if (!(ra > 0.0) || (ask->ends && i != last))
            continue; /* also a step that leaves no texture of its own */
        LEV_TRY(lev_look_add_finish(&own, s->label, fmin(ra, ra_most_um),
                                    lev_step_has_lay(s), out, err));
        out->state[out->states - 1].step = i + 1;
        out->state[out->states - 1].look.notes |= s->notes;
    }
out:
    return st;
}

lev_status lev_app_look_job(const lev_look_ask *ask, const lev_plan_answer *plan,
                            lev_look_answer *out, lev_error *err)
{
    lev_status st = LEV_OK;
    for (ptrdiff_t k = 0; k < plan->faces; k++)
        LEV_TRY(lev_app_look_face(ask, &plan->face[k], &out[k], err));
out:
    return st;
}
