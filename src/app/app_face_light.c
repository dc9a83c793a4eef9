/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Targets told by light, as the Ra they need: half of the faces of that Ra meet them,
 * and the spread of that Ra joins the spread of the texture when a last step is chosen.
 * It is told in the words of the target, and what proves it is the light itself, not
 * Ra. */
#include "app_face.h"

#include <math.h>
#include <string.h>

#include "levigate/note.h"
#include "levigate/optics.h"
#include "num.h"

static lev_light_target gloss_of(const lev_job_target *t)
{
    int angle = LEV_GLOSS_20;
    while (angle + 1 < LEV_GLOSS_ANGLES &&
           fabs(lev_optics_gloss_deg(angle) - t->angle_deg) > 0.5)
        angle++;
    return (lev_light_target){.kind = LEV_LIGHT_GLOSS,
                              .angle = angle,
                              .lay = strcmp(t->lay, "along") == 0 ? LEV_LAY_ALONG
                                                                  : LEV_LAY_ACROSS,
                              .gu = t->gu};
}

static lev_status say_target(const lev_job_target *t, lev_spread ra, lev_arena *arena,
                             lev_face_target *out, lev_error *err)
{
    lev_status st;
    if (t->kind == LEV_TARGET_GLOSS) {
        LEV_TRY(lev_arena_print(arena, &out->words, err,
                                "gloss %g at %g deg %s the lay: Ra about %.2g um, 1 in "
                                "10 needs %.2g; planned to hold 19 times in 20",
                                t->gu, t->angle_deg, t->lay, ra.p50, ra.p10));
        LEV_TRY(lev_arena_print(arena, &out->check, err,
                                "read %g deg gloss %s the lay in five places",
                                t->angle_deg, t->lay));
    } else {
        LEV_TRY(lev_arena_print(arena, &out->words, err,
                                "%g mm type read in it at %g mm: Ra about %.2g um, 1 "
                                "in 10 needs %.2g; planned to hold 19 times in 20",
                                t->type_mm, t->distance_mm, ra.p50, ra.p10));
        LEV_TRY(lev_arena_print(arena, &out->check, err,
                                "stand %g mm type on the face, lift it: still read at "
                                "%g mm",
                                t->type_mm, t->distance_mm));
    }
out:
    return st;
}

lev_status lev_face_target_light(const lev_job_face *f, const lev_material *m,
                                 lev_arena *arena, lev_face_target *out,
                                 lev_face_sources *sources, lev_error *err)
{
    lev_status st;
    lev_error cause = {0};
    lev_spread ra = {0};
    lev_look_request req = {0};
    const lev_job_target *const t = &f->target;
    const bool gloss = t->kind == LEV_TARGET_GLOSS;
    const lev_light_target want =
        gloss ? gloss_of(t)
              : (lev_light_target){.kind = LEV_LIGHT_READABLE,
                                   .type_mm = t->type_mm,
                                   .distance_mm = t->distance_mm};
    if (lev_material_is_wood(m))
        LEV_TRY(
            lev_fail(err, LEV_E_RANGE,
                     "face %s: the gloss of wood is made by what goes on it; ask for "
                     "the look clean, or for a last grit",
                     f->name));
    st = lev_optics_find(m->id, &req.optic, &cause);
    if (st >= 0)
        st = lev_optics_needed_ra(&want, gloss, &req, &ra, &sources->notes, &cause);
    if (st < 0)
        LEV_TRY(lev_fail(err, st, "face %s: %s", f->name, cause.text));
    out->ra_max_um = ra.p50;
    out->ra_max_lnsd = log(ra.p50 / ra.p10) / lev_norm_quantile(0.9);
    if (gloss)
        out->lay = LEV_LAY_ONE_WAY;
    LEV_TRY(say_target(t, ra, arena, out, err));
out:
    return st;
}
