/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The maps a relief goes through. Fine grains want a fine pitch, coarse ones a wide
 * map; where no one map has room for both, the first steps run on a coarser and wider
 * map, and the finer ones on a part of it. */
#include <math.h>

#include "app_relief.h"
#include "units.h"

enum { USUAL_POINTS = 512, MOST_POINTS = 1024 };
static const double FINER = 0.9; /* than the coarsest pitch that will do */
static const double SLACK = 1.0 + 1e-9;

static bool simulated(const lev_relief_step *s)
{
    return s->pass.grains.removed_share > 0.0;
}

/* The pitch each step asks for (infinite: drawn); what is told is checked for all
 * before anything is run. */
static lev_status needed_pitches(const lev_relief_request *req,
                                 const lev_relief_answer *a, double *pitch_um,
                                 lev_error *err)
{
    lev_status st = LEV_OK;
    const char *finest = NULL;
    double least_um = INFINITY;
    for (int k = 0; k < a->steps; k++) {
        const lev_relief_step *const s = &a->step[k];
        lev_sim_step step;
        pitch_um[k] = INFINITY;
        if (!simulated(s))
            continue;
        LEV_TRY(lev_sim_step_of_pass(&s->pass, s->remove_um, &step, err));
        LEV_TRY(lev_sim_pitch_um(&step, &pitch_um[k], err));
        if (pitch_um[k] < least_um) {
            finest = s->label;
            least_um = pitch_um[k];
        }
    }
    if (finest == NULL)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "no step of this ladder has grains"));
    if (req->pitch_um > least_um) /* a little less than needed: it is rounded */
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "pitch of %g um is too coarse for the grooves of %s; %.3g um "
                         "or less",
                         req->pitch_um, finest, 0.99 * least_um));
out:
    return st;
}

/* One map from its last step backwards. */
typedef struct stretch {
    double pitch_um, widest_um;
    double most;    /* points along a side, at most */
    double side_um; /* told, or 0 */
} stretch;

static bool has_room(const stretch *s)
{
    if (s->side_um > 0.0)
        return s->widest_um <= s->side_um * SLACK;
    return s->widest_um <= s->most * s->pitch_um * SLACK;
}

/* This step on the same map too, if there is room for both. */
static bool joined(const lev_relief_request *req, const lev_relief_step *step,
                   double needed_um, stretch *s)
{
    const bool told = req->pitch_um > 0.0 && s->side_um >= 0.0;
    stretch t = *s;
    t.pitch_um = told ? req->pitch_um : fmin(t.pitch_um, FINER * needed_um);
    t.widest_um =
        fmax(t.widest_um, lev_relief_rule("relief-grains") * step->pass.d50_um);
    if (!has_room(&t))
        return false;
    *s = t;
    return true;
}

static double points_of(const lev_relief_request *req, const stretch *s, double next_um)
{
    if (s->side_um > 0.0)
        return ceil(s->side_um / s->pitch_um);
    if (req->points > 0)
        return (double)req->points;
    const double wide_um = fmax(s->widest_um, next_um);
    return fmin(fmax(ceil(wide_um / s->pitch_um), USUAL_POINTS), MOST_POINTS);
}

static lev_status check_memory(const lev_sim_grid *g, lev_error *err)
{
    const size_t bytes = lev_sim_bytes(g);
    const size_t allowed = g->memory_bytes > 0 ? g->memory_bytes : (size_t)1 << 30;
    if (bytes > allowed)
        return lev_fail(err, LEV_E_LIMIT,
                        "a map of %td x %td points takes %.4g MB, allowed are %.4g MB",
                        g->nx, g->ny, (double)bytes / 1e6, (double)allowed / 1e6);
    return LEV_OK;
}

static lev_status too_narrow(const lev_relief_request *req, const lev_relief_step *s,
                             double pitch_um, lev_error *err)
{
    const double grains = lev_relief_rule("relief-grains");
    const double side_mm = req->size_mm > 0.0
                               ? req->size_mm
                               : (double)req->points * pitch_um / LEV_UM_PER_MM;
    return lev_fail(err, LEV_E_RANGE,
                    "a map of %.3g mm is not %g grains of %s wide; %.2g mm or more",
                    side_mm, grains, s->label, grains * s->pass.d50_um / LEV_UM_PER_MM);
}

/* The last map is the one told; those before it are as coarse as their steps allow. */
lev_status lev_relief_stages(const lev_relief_request *req, lev_relief_answer *a,
                             lev_relief_stage *stage, int *n, lev_error *err)
{
    lev_status st;
    double pitch_um[LEV_RELIEF_STEPS] = {0.0}, next_um = 0.0;
    int last = a->steps - 1, count = 0;
    LEV_TRY(needed_pitches(req, a, pitch_um, err));
    while (last >= 0) {
        const bool told = count == 0;
        int k = last;
        stretch s = {.pitch_um = INFINITY,
                     .most = req->points > 0 ? (double)req->points : MOST_POINTS,
                     .side_um = told ? req->size_mm * LEV_UM_PER_MM : -1.0};
        while (k >= 0 && joined(req, &a->step[k], pitch_um[k], &s))
            k--;
        if (k == last && told)
            LEV_TRY(too_narrow(req, &a->step[k], FINER * pitch_um[k], err));
        a->first = k + 1;
        if (k == last || !isfinite(s.pitch_um)) /* no map has room: left out */
            break;
        const double points = fmin(points_of(req, &s, next_um), 1e6);
        stage[count] =
            (lev_relief_stage){.first = k + 1,
                               .grid = {.nx = (ptrdiff_t)points,
                                        .ny = (ptrdiff_t)points,
                                        .pitch_um = s.pitch_um,
                                        .memory_bytes = (size_t)(req->memory_mb * 1e6),
                                        .threads = req->threads,
                                        .plain = req->plain,
                                        .textures = a->steps + 1}};
        LEV_TRY(check_memory(&stage[count].grid, err));
        next_um = points * s.pitch_um;
        count++;
        last = k;
    }
    for (int i = 0; i < count / 2; i++) {
        const lev_relief_stage t = stage[i];
        stage[i] = stage[count - 1 - i];
        stage[count - 1 - i] = t;
    }
    *n = count;
out:
    return st;
}

/* ---- from one map to the next ---- */

/* Weights of four points about a place `f` of the way from the second to the third
 * (Catmull & Rom): through the points, without a kink at them. */
static void curve(double f, double w[4])
{
    w[0] = f * (-0.5 + f * (1.0 - 0.5 * f));
    w[1] = 1.0 + f * f * (-2.5 + 1.5 * f);
    w[2] = f * (0.5 + f * (2.0 - 1.5 * f));
    w[3] = f * f * (-0.5 + 0.5 * f);
}

/* Height of a map that wraps round, n by n, at x, y > 0 in pitches. */
static double at(const float *h, ptrdiff_t n, double x, double y)
{
    const ptrdiff_t i = (ptrdiff_t)x, j = (ptrdiff_t)y;
    double wx[4], wy[4], sum = 0.0;
    curve(x - (double)i, wx);
    curve(y - (double)j, wy);
    for (ptrdiff_t b = 0; b < 4; b++) {
        const float *const row = h + (j + b + n - 1) % n * n;
        for (ptrdiff_t a = 0; a < 4; a++)
            sum += wy[b] * wx[a] * (double)row[(i + a + n - 1) % n];
    }
    return sum;
}

/* Weights of the part itself and of what lies one side before it: towards the far edge
 * one fades into the other, so that the part wraps round without a seam; their squares
 * add to one, so that the texture there is no flatter. */
static void fade(double share, double *here, double *before)
{
    const double band = 0.1;
    const double t = fmax(share - (1.0 - band), 0.0) / band;
    const double both = hypot(t, 1.0 - t);
    *here = (1.0 - t) / both;
    *before = t / both;
}

void lev_relief_zoom(const float *from, const lev_sim_grid *old, const lev_sim_grid *to,
                     float *out)
{
    const double scale = to->pitch_um / old->pitch_um;
    const double side = (double)to->nx * scale; /* of the part, in old pitches */
    const double all = (double)old->nx;
    const double off = ceil(side / all) * all; /* whole maps: nothing below 0 */
    for (ptrdiff_t j = 0; j < to->ny; j++) {
        double y_here, y_before;
        const double y = (double)j * scale;
        fade((double)j / (double)to->ny, &y_here, &y_before);
        for (ptrdiff_t i = 0; i < to->nx; i++) {
            double x_here, x_before, h = 0.0;
            const double x = (double)i * scale;
            fade((double)i / (double)to->nx, &x_here, &x_before);
            h += y_here * x_here * at(from, old->nx, x, y);
            if (x_before > 0.0)
                h += y_here * x_before * at(from, old->nx, x - side + off, y);
            if (y_before > 0.0)
                h += y_before * x_here * at(from, old->nx, x, y - side + off);
            if (x_before > 0.0 && y_before > 0.0)
                h += y_before * x_before *
                     at(from, old->nx, x - side + off, y - side + off);
            out[j * to->nx + i] = (float)h;
        }
    }
}
