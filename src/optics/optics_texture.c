/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a texture to light and back, for the planner: what a finish of this Ra will
 * show, with its spread, and the Ra that a wanted gloss or a wanted reading distance
 * needs.
 *
 * Ra alone does not fix gloss: the slope does as much (doc/physics/light.md). Where the
 * slope is not known it follows slope = a Ra^b, fitted to published pairs of roughness
 * and gloss, and its scatter is the spread of the answer. */
#include "levigate/optics.h"

#include <math.h>

#include "num.h"
#include "optics_figure.h"

static const double quantile_z = 1.2815515655446004; /* of 90 % */

static lev_status check_texture(const lev_texture *t, lev_error *err)
{
    if (!(t->ra_um > 0.0 && t->ra_um <= 50.0))
        return lev_fail(err, LEV_E_RANGE, "Ra %g um; above 0, to 50 um", t->ra_um);
    if (!(t->slope >= 0.0 && t->slope < 5.0))
        return lev_fail(err, LEV_E_RANGE, "a slope of %g; 0 (unknown) to 5", t->slope);
    return LEV_OK;
}

/* The surface at z deviations of the slope's spread. */
static lev_rough surface_at(const lev_texture *t, double z, unsigned *notes)
{
    double slope = t->slope;
    double lnsd = lev_light_figure("texture_known_lnsd");
    if (!(slope > 0.0)) {
        slope = lev_light_figure("texture_slope") *
                pow(t->ra_um, lev_light_figure("texture_power"));
        lnsd = lev_light_figure("texture_lnsd");
        *notes |= LEV_NOTE_DEFAULT;
        if (t->ra_um < lev_light_figure("texture_ra_low") ||
            t->ra_um > lev_light_figure("texture_ra_high") || t->one_way)
            *notes |= LEV_NOTE_EXTRAPOLATED;
    }
    const double sq = t->ra_um * sqrt(LEV_PI / 2.0); /* normal heights */
    const double length = sqrt(2.0) * sq / (slope * exp(z * lnsd));
    return (lev_rough){.sq_um = sq,
                       .length_in_um = length,
                       .length_cross_um = t->one_way ? 0.0 : length};
}

double lev_optics_view_rad(void)
{
    return lev_light_rad(lev_light_figure("view_angle"));
}

lev_status lev_optics_texture_surface(const lev_texture *t, lev_rough *out,
                                      lev_error *err)
{
    unsigned notes = 0;
    const lev_status st = check_texture(t, err);
    if (st >= 0)
        *out = surface_at(t, 0.0, &notes);
    return st;
}

/* The dimmer (or brighter) of two published sets of constants, in green. */
static lev_optic edge_optic(const lev_optic *o, bool bright)
{
    lev_optic e = *o;
    lev_reflectance a = {0};
    lev_reflectance b = {0};
    (void)lev_optics_reflectance(o->nk[LEV_GREEN], 0.0, &a, NULL);
    (void)lev_optics_reflectance(o->other[LEV_GREEN], 0.0, &b, NULL);
    if ((b.mean > a.mean) == bright)
        for (int c = 0; c < LEV_COLOURS; c++)
            e.nk[c] = o->other[c];
    return e;
}

static lev_status look_at(const lev_texture *t, const lev_look_request *req, double z,
                          lev_look *out, lev_error *err)
{
    unsigned notes = 0;
    lev_look_request r = *req;
    const lev_rough s = surface_at(t, z, &notes);
    if (fabs(z) > 0.0)
        r.optic = edge_optic(&req->optic, z < 0.0);
    const lev_status st = lev_optics_rough_look(&s, &r, out, err);
    out->notes |= notes;
    return st;
}

lev_status lev_optics_texture_light(const lev_texture *t, const lev_look_request *req,
                                    lev_texture_light *out, lev_error *err)
{
    lev_status st;
    lev_look low = {0};
    lev_look mid = {0};
    lev_look high = {0};
    lev_texture_light l = {0};
    LEV_TRY(check_texture(t, err));
    LEV_TRY(look_at(t, req, quantile_z, &low, err));
    LEV_TRY(look_at(t, req, 0.0, &mid, err));
    LEV_TRY(look_at(t, req, -quantile_z, &high, err));
    for (int a = 0; a < LEV_GLOSS_ANGLES; a++)
        for (int lay = 0; lay < LEV_LAYS; lay++)
            l.gu[a][lay] =
                (lev_spread){low.gu[a][lay], mid.gu[a][lay], high.gu[a][lay]};
    l.readable_mm = (lev_spread){low.readable_mm, mid.readable_mm, high.readable_mm};
    l.doi = (lev_spread){low.doi[0], mid.doi[0], high.doi[0]};
    l.notes = mid.notes;
    *out = l;
out:
    return st;
}

/* ---- backwards ---- */

typedef struct search {
    const lev_light_target *target;
    const lev_look_request *req;
    bool one_way;
    double z;
    unsigned notes;
} search;

/* What the target asks for, from a face of this Ra; the target's own value is one. */
static lev_status reached(search *s, double ra_um, double *out, lev_error *err)
{
    lev_status st;
    lev_look look = {0};
    lev_look_request r = *s->req;
    const lev_texture t = {.ra_um = ra_um, .one_way = s->one_way};
    const lev_light_target *const want = s->target;
    if (want->kind == LEV_LIGHT_READABLE)
        r.type_mm = want->type_mm;
    LEV_TRY(look_at(&t, &r, s->z, &look, err));
    *out = want->kind == LEV_LIGHT_READABLE
               ? look.readable_mm / want->distance_mm
               : look.gu[want->angle][want->lay] / want->gu;
    s->notes = look.notes;
    if (want->kind == LEV_LIGHT_GLOSS && look.doubtful[want->angle])
        s->notes |= LEV_NOTE_OUTSIDE;
out:
    return st;
}

static lev_status solve(search *s, double *ra_um, lev_error *err)
{
    lev_status st;
    double low = log(1e-4);
    double high = log(20.0);
    double best = 0.0;
    LEV_TRY(reached(s, exp(low), &best, err));
    if (best < 1.0)
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "not even a perfect face of this material gives that: %.3g "
                         "times what is asked; a lower target",
                         best));
    for (int i = 0; i < 32; i++) {
        const double mid = (low + high) / 2.0;
        double now = 0.0;
        LEV_TRY(reached(s, exp(mid), &now, err));
        if (now >= 1.0)
            low = mid;
        else
            high = mid;
    }
    *ra_um = exp(low);
out:
    return st;
}

static lev_status check_target(const lev_light_target *t, lev_error *err)
{
    if (t->kind == LEV_LIGHT_READABLE) {
        if (!(t->type_mm > 0.0 && t->distance_mm > 0.0))
            return lev_fail(err, LEV_E_RANGE,
                            "type of %g mm read at %g mm; both above 0", t->type_mm,
                            t->distance_mm);
        return LEV_OK;
    }
    if (!(t->gu > 0.0) || t->angle < 0 || t->angle >= LEV_GLOSS_ANGLES || t->lay < 0 ||
        t->lay >= LEV_LAYS)
        return lev_fail(err, LEV_E_RANGE,
                        "a gloss target of %g units; above 0, at 20, 60 or 85 degrees, "
                        "across or along the lay",
                        t->gu);
    return LEV_OK;
}

lev_status lev_optics_needed_ra(const lev_light_target *target, bool one_way,
                                const lev_look_request *req, lev_spread *ra_um,
                                unsigned *notes, lev_error *err)
{
    lev_status st;
    lev_spread r = {0};
    search s = {.target = target, .req = req, .one_way = one_way, .z = quantile_z};
    LEV_TRY(check_target(target, err));
    LEV_TRY(solve(&s, &r.p10, err));
    s.z = 0.0;
    LEV_TRY(solve(&s, &r.p50, err));
    s.z = -quantile_z;
    LEV_TRY(solve(&s, &r.p90, err));
    *ra_um = r;
    if (notes != NULL)
        *notes |= s.notes;
out:
    return st;
}
