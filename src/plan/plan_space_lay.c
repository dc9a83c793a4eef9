/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The straight grain of a face. After the last clearing step, along the lay, a fresh
 * piece of the same medium is drawn one way off the edge, a counted number of strokes a
 * lane. What these strokes lie over is of their own kind and need not go; so they are
 * part of the last option: their time and abrasive are added to it at every level, and
 * the surface they leave is the one that must meet the target. */
#include <math.h>
#include <string.h>

#include "num.h"
#include "plan_space.h"
#include "units.h"

/* Back through the air a stroke takes twice its way, and never less than a short stroke
 * there and back. */
static double strokes_s(const lev_face *f, const lev_row_drive *d)
{
    const double length_mm = lev_known(f->length_mm) ? f->length_mm : sqrt(f->area_mm2);
    const double lanes = ceil(f->area_mm2 / length_mm / sqrt(d->contact_mm2) - 1e-9);
    const double way_m = length_mm * LEV_UM_PER_MM / LEV_UM_PER_M;
    const double stroke_s =
        fmax(LEV_S_PER_MIN / d->strokes_per_min, 2.0 * way_m / d->speed_m_s);
    return lanes * space_rule("lane-strokes") * stroke_s;
}

static lev_status add_lay(space *s, int j, int *cap, lev_error *err)
{
    lev_status st = LEV_OK;
    space_option o = s->option[j];
    const lev_face *f = s->face;
    lev_cut_tool tool = o.tool;
    tool.kind = LEV_CUT_GRAIN;
    tool.fluid = f->work.family == LEV_CUT_METAL && strcmp(f->fluid, "any") == 0
                     ? LEV_CUT_OIL
                     : tool.fluid;
    LEV_TRY(lev_cut_pass_init(&f->work, &tool, f->area_mm2, &o.lay, err));
    space_apply_learned(s, o.drive->id, o.medium->mineral, &o.lay);
    o.lay_s = strokes_s(f, o.drive);
    /* each spot is passed by the length of the block once a stroke */
    o.lay_um = o.lay.patch_um_per_m * space_rule("lane-strokes") *
               sqrt(o.drive->contact_mm2) * LEV_UM_PER_MM / LEV_UM_PER_M;
    space_option seen = o;
    seen.pass = o.lay;
    o.meets = space_meets(s, &seen);
    if (o.meets)
        LEV_TRY(space_add(s, &o, cap, err));
out:
    return st;
}

lev_status space_add_lays(space *s, int *cap, lev_error *err)
{
    lev_status st = LEV_OK;
    const int n = s->n;
    for (int j = 0; j < n; j++) {
        if (!space_by_hand(s->option + j))
            continue;
        s->option[j].meets = false;
        if (s->option[j].medium != NULL)
            LEV_TRY(add_lay(s, j, cap, err));
    }
out:
    return st;
}

double space_lay_sheets(const space_option *o)
{
    return o->lay_s > 0.0 ? 0.25 : 0.0;
}
