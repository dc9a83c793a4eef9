/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything a face shows, in figures: gloss, haze, distinctness of image, colour in
 * the mirror direction, and how far type can be lifted and still be read in it.
 *
 * One code for both kinds of face: a source answers "what share falls in this window"
 * and "what contrast is left", from maps or from a few figures. */
#include "levigate/optics.h"

#include <math.h>

#include "num.h"
#include "optics_collect.h"
#include "optics_figure.h"

typedef struct source {
    const lev_look_request *req;
    const lev_rough *rough; /* a face told by figures, or ... */
    const lev_height_view *maps;
    ptrdiff_t n;
    double lay_rad;
    lev_scatter s; /* ... its scatter at the present angle and light */
    double wavelength_um;
    unsigned notes;
} source;

/* ---- one window ---- */

static lev_status prepare(source *src, double incidence_rad, int colour, lev_error *err)
{
    src->wavelength_um = lev_optics_wavelength_um(colour);
    if (src->rough != NULL)
        return LEV_OK;
    lev_error quiet = {0};
    lev_scatter_request req = {.wavelength_um = src->wavelength_um,
                               .incidence_rad = incidence_rad,
                               .repeats = src->req->repeats};
    lev_scatter_release(&src->s);
    lev_status st = lev_optics_scatter(src->maps, src->n, &req, &src->s, &quiet);
    if (st == LEV_E_RANGE) { /* too steep for waves at this pitch: small mirrors */
        req.way = LEV_SCATTER_FACETS;
        st = lev_optics_scatter(src->maps, src->n, &req, &src->s, &quiet);
    }
    if (st < 0 && err != NULL)
        *err = quiet;
    return st;
}

static lev_rough turned(const lev_rough *s, int lay)
{
    lev_rough r = *s;
    if (lay == LEV_LAY_ALONG) {
        r.length_in_um = s->length_cross_um;
        r.length_cross_um = s->length_in_um;
    }
    return r;
}

static double azimuth_of(const source *src, int lay)
{
    return lay == LEV_LAY_ALONG ? src->lay_rad : src->lay_rad + LEV_PI / 2.0;
}

static lev_status share_of(source *src, const lev_window *w, int lay, double *share,
                           lev_error *err)
{
    if (src->rough == NULL)
        return lev_optics_collect(&src->s, w, azimuth_of(src, lay), share, err);
    const lev_rough r = turned(src->rough, lay);
    *share = lev_optics_rough_share(&r, src->wavelength_um, w, &src->notes);
    return LEV_OK;
}

static double mean_reflectance(lev_nk nk, double incidence_rad)
{
    lev_reflectance r = {0};
    (void)lev_optics_reflectance(nk, incidence_rad, &r, NULL);
    return r.mean;
}

/* Light of the body that falls into the window: it leaves evenly by direction cosine.
 */
static double body_light(const source *src, const lev_window *w)
{
    return src->req->optic.body * (w->alpha_high - w->alpha_low) * 2.0 * w->beta_half /
           LEV_PI;
}

/* 100 x light in the window against the glass in its own mirror direction. */
static lev_status units_of(source *src, const char *window, int lay, double *out,
                           lev_error *err)
{
    lev_status st;
    lev_window w;
    double share = 0.0;
    LEV_TRY(lev_optics_window(window, &w, err));
    LEV_TRY(share_of(src, &w, lay, &share, err));
    const double r = mean_reflectance(src->req->optic.nk[LEV_GREEN], w.incidence_rad);
    *out =
        100.0 * (r * share + body_light(src, &w)) / lev_optics_glass(w.incidence_rad);
out:
    return st;
}

/* ---- the figures ---- */

static void even_out(double pair[LEV_LAYS], bool directional)
{
    if (!directional)
        pair[0] = pair[1] = (pair[0] + pair[1]) / 2.0;
}

/* Near grazing the model claims less than elsewhere: that is told of that angle alone,
 * not of the whole face. */
static bool doubtful(const lev_look *look, int angle)
{
    return look->slope_across >
           lev_light_figure(angle == LEV_GLOSS_85 ? "slope_limit_85" : "slope_limit");
}

static lev_status gloss_at(source *src, int angle, lev_look *out, lev_error *err)
{
    static const char *const ids[] = {"gloss-20", "gloss-60", "gloss-85"};
    lev_status st;
    const double theta = lev_light_rad(lev_optics_gloss_deg(angle));
    const unsigned before = src->notes;
    LEV_TRY(prepare(src, theta, LEV_GREEN, err));
    for (int lay = 0; lay < LEV_LAYS; lay++)
        LEV_TRY(units_of(src, ids[angle], lay, &out->gu[angle][lay], err));
    even_out(out->gu[angle], out->directional);
    out->has_gu[angle] = true;
    out->doubtful[angle] = doubtful(out, angle);
    if (angle == LEV_GLOSS_85)
        src->notes = before | (src->notes & ~(unsigned)LEV_NOTE_OUTSIDE);
out:
    return st;
}

static lev_status haze_and_doi(source *src, int lay, lev_look *out, lev_error *err)
{
    lev_status st;
    double below = 0.0;
    double above = 0.0;
    double peak = 0.0;
    LEV_TRY(units_of(src, "haze-below", lay, &below, err));
    LEV_TRY(units_of(src, "haze-above", lay, &above, err));
    out->haze[lay] = below + above;
    LEV_TRY(units_of(src, "doi-peak", lay, &peak, err));
    LEV_TRY(units_of(src, "doi-below", lay, &below, err));
    LEV_TRY(units_of(src, "doi-above", lay, &above, err));
    out->doi[lay] =
        peak > 0.0 ? fmax(0.0, 100.0 * (1.0 - (below + above) / (2.0 * peak))) : 0.0;
out:
    return st;
}

static void finish_haze(lev_look *out)
{
    even_out(out->haze, out->directional);
    even_out(out->doi, out->directional);
    for (int lay = 0; lay < LEV_LAYS; lay++)
        out->haze_log[lay] =
            lev_light_figure("haze_log_factor") *
            log10(out->haze[lay] / lev_light_figure("haze_log_base") + 1.0);
}

/* ---- reading distance ---- */

typedef struct contrast {
    const lev_rough *rough;
    const lev_line *in, *cross;
    double wavelength_um, incidence_rad;
} contrast;

static double worst_contrast(double nu_per_rad, void *ctx)
{
    const contrast *const c = ctx;
    const double cosine = cos(c->incidence_rad);
    if (c->rough != NULL)
        return fmin(lev_optics_rough_mtf(c->rough, c->wavelength_um, c->incidence_rad,
                                         nu_per_rad, false),
                    lev_optics_rough_mtf(c->rough, c->wavelength_um, c->incidence_rad,
                                         nu_per_rad, true));
    return fmin(lev_line_mtf(c->in, nu_per_rad / cosine),
                lev_line_mtf(c->cross, nu_per_rad));
}

double lev_optics_readable_mm(double type_mm, double eye_mm,
                              double (*mtf)(double nu_per_rad, void *ctx), void *ctx)
{
    /* What a normal blur with a width at half height of one stroke leaves at half a
     * cycle a stroke: exp(-pi^2 / (2 * 2.3548^2)). */
    const double width = 2.0 * sqrt(2.0 * log(2.0));
    const double least = exp(-LEV_PI * LEV_PI / (2.0 * width * width));
    const double stroke = type_mm / lev_light_figure("letter_strokes");
    const double sharp =
        stroke / tan(lev_light_rad(lev_light_figure("acuity"))) - eye_mm;
    const double nearest = 0.1;
    if (!(sharp > nearest))
        return 0.0;
    double low = 0.0;
    double high = nearest;
    while (high < sharp && mtf(high / (2.0 * stroke), ctx) >= least) {
        low = high;
        high = fmin(high * 1.1, sharp);
    }
    if (high >= sharp && mtf(sharp / (2.0 * stroke), ctx) >= least)
        return sharp;
    for (int i = 0; i < 40; i++) {
        const double mid = (low + high) / 2.0;
        if (mtf(mid / (2.0 * stroke), ctx) >= least)
            low = mid;
        else
            high = mid;
    }
    return low;
}

static lev_status readable(source *src, double view_rad, lev_look *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_line in = {0};
    lev_line cross = {0};
    const double eye =
        src->req->eye_mm > 0.0 ? src->req->eye_mm : lev_light_figure("eye_distance");
    contrast c = {.rough = src->rough,
                  .in = &in,
                  .cross = &cross,
                  .wavelength_um = src->wavelength_um,
                  .incidence_rad = view_rad};
    if (src->rough == NULL) {
        const double azimuth = azimuth_of(src, LEV_LAY_ACROSS);
        LEV_TRY(lev_line_new(&src->s, azimuth, false, &in, err));
        LEV_TRY(lev_line_new(&src->s, azimuth, true, &cross, err));
    }
    out->readable_type_mm = src->req->type_mm > 0.0 ? src->req->type_mm : 3.0;
    out->readable_mm =
        lev_optics_readable_mm(out->readable_type_mm, eye, worst_contrast, &c);
out:
    lev_line_release(&in);
    lev_line_release(&cross);
    return st;
}

/* ---- colour ---- */

static lev_status colour_at(source *src, double view_rad, int c, lev_look *out,
                            lev_error *err)
{
    lev_status st;
    lev_window w;
    double share[LEV_LAYS];
    const lev_optic *const o = &src->req->optic;
    LEV_TRY(lev_optics_window("gloss-20", &w, err));
    const double middle = sin(view_rad) - (w.alpha_low + w.alpha_high) / 2.0;
    w.incidence_rad = view_rad;
    w.alpha_low += middle;
    w.alpha_high += middle;
    for (int lay = 0; lay < LEV_LAYS; lay++)
        LEV_TRY(share_of(src, &w, lay, &share[lay], err));
    const double part = (share[0] + share[1]) / 2.0;
    const double r = mean_reflectance(o->nk[c], view_rad);
    const double r2 = mean_reflectance(o->other[c], view_rad);
    out->rspec[c] = r * part;
    out->rspec_low[c] = fmin(r, r2) * part;
    out->rspec_high[c] = fmax(r, r2) * part;
    out->srgb[c] = lev_srgb_code(out->rspec[c]);
out:
    return st;
}

static double view_of(const lev_look_request *req)
{
    return req->view_rad > 0.0 ? req->view_rad : lev_optics_view_rad();
}

static lev_status all_figures(source *src, lev_look *out, lev_error *err)
{
    lev_status st;
    const double view = view_of(src->req);
    for (int angle = LEV_GLOSS_85; angle > LEV_GLOSS_20; angle--) {
        st = gloss_at(src, angle, out, err);
        if (st < 0 && st != LEV_E_RANGE)
            goto out;
    }
    LEV_TRY(gloss_at(src, LEV_GLOSS_20, out, err));
    out->way = src->rough == NULL && src->s.mirror_bins < 0 ? LEV_SCATTER_FACETS
                                                            : LEV_SCATTER_WAVES;
    for (int lay = 0; lay < LEV_LAYS; lay++)
        LEV_TRY(haze_and_doi(src, lay, out, err));
    finish_haze(out);
    for (int c = LEV_BLUE; c >= LEV_RED; c -= 2) {
        LEV_TRY(prepare(src, view, c, err));
        LEV_TRY(colour_at(src, view, c, out, err));
    }
    LEV_TRY(prepare(src, view, LEV_GREEN, err));
    LEV_TRY(colour_at(src, view, LEV_GREEN, out, err));
    LEV_TRY(readable(src, view, out, err));
    out->notes |= src->notes | src->req->optic.notes;
out:
    return st;
}

/* ---- faces told by figures ---- */

static lev_status check_rough(const lev_rough *s, lev_error *err)
{
    if (!(s->sq_um >= 0.0 && s->sq_um < 100.0))
        return lev_fail(err, LEV_E_RANGE, "an rms height of %g um; 0 to 100 um",
                        s->sq_um);
    if (!(s->length_in_um >= 0.0) || !(s->length_cross_um >= 0.0) ||
        !isfinite(s->length_in_um) || !isfinite(s->length_cross_um))
        return lev_fail(err, LEV_E_RANGE,
                        "correlation lengths %g and %g um; 0 (endless) or more",
                        s->length_in_um, s->length_cross_um);
    return LEV_OK;
}

lev_status lev_optics_rough_look(const lev_rough *s, const lev_look_request *req,
                                 lev_look *out, lev_error *err)
{
    lev_status st;
    lev_look look = {0};
    source src = {.req = req, .rough = s};
    LEV_TRY(check_rough(s, err));
    look.directional = !lev_near(s->length_in_um, s->length_cross_um, 1e-9, 0.0);
    look.lay_rad = LEV_PI / 2.0;
    look.sq_um = s->sq_um;
    const double seen = s->length_in_um > 0.0
                            ? lev_optics_band_gauss(s->length_in_um,
                                                    lev_optics_wavelength_um(LEV_GREEN))
                            : 1.0;
    look.sq_seen_um = s->sq_um * sqrt(seen);
    look.slope_across =
        s->length_in_um > 0.0 ? sqrt(2.0) * s->sq_um / s->length_in_um : 0.0;
    LEV_TRY(all_figures(&src, &look, err));
    look.mirror =
        exp(-lev_optics_g(s->sq_um, lev_optics_wavelength_um(LEV_GREEN), view_of(req)));
    *out = look;
out:
    return st;
}

/* ---- faces given by maps ---- */

static void lay_of(const lev_look_request *req, const lev_relief_stats *r,
                   lev_look *out)
{
    out->directional = req->has_lay || r->coherence > lev_light_figure("lay_coherence");
    out->lay_rad = req->has_lay ? req->lay_rad : out->directional ? r->lay_rad : 0.0;
    const double c = sin(out->lay_rad); /* square to the lay */
    const double d = cos(out->lay_rad);
    out->slope_across = hypot(c * r->slope_x, d * r->slope_y);
    out->sq_um = r->sq_um;
}

static unsigned map_notes(const lev_look *look)
{
    const bool steep = look->slope_across > lev_light_figure("slope_limit");
    return steep ? (unsigned)LEV_NOTE_OUTSIDE : 0U;
}

lev_status lev_optics_look(const lev_height_view *maps, ptrdiff_t n,
                           const lev_look_request *req, lev_look *out, lev_error *err)
{
    lev_status st;
    lev_look look = {0};
    lev_relief_stats r = {0};
    source src = {.req = req, .maps = maps, .n = n};
    LEV_TRY(lev_optics_relief_stats(maps, n, &r, err));
    lay_of(req, &r, &look);
    src.lay_rad = look.lay_rad;
    LEV_TRY(lev_optics_band_map(maps, n, lev_optics_wavelength_um(LEV_GREEN),
                                &look.sq_seen_um, err));
    LEV_TRY(all_figures(&src, &look, err));
    look.mirror = src.s.mirror;
    look.notes |= map_notes(&look);
    *out = look;
out:
    lev_scatter_release(&src.s);
    return st;
}
