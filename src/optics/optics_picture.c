/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The card seen in a face. A ray that leaves the face delta off the mirror direction
 * comes from a point delta x distance away on the card: the picture is the card spread
 * by the scatter, scaled by the distance, for each colour, times the reflectance.
 *
 * Maps: each bin of the scatter is laid on the grid of the card as a box of its own
 * size; the mirror beam is one point. What falls outside the card brings room light.
 * Faces told by figures: the transfer function exp(-g (1 - C)) in closed form. */
#include "levigate/optics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mem.h"
#include "optics_collect.h"
#include "optics_draw.h"
#include "optics_fft.h"
#include "optics_figure.h"

/* One colour's working plane: the card at twice its size, rows padded for the
 * transform. */
typedef struct plane {
    ptrdiff_t nx, ny, row;
    double *a;
} plane;

static ptrdiff_t good_size(ptrdiff_t n)
{
    for (ptrdiff_t m = n + n % 2;; m += 2) {
        ptrdiff_t r = m;
        for (ptrdiff_t f = 2; f <= 7; f++)
            while (r % f == 0)
                r /= f;
        if (r == 1)
            return m;
    }
}

static lev_status plane_new(const lev_picture *card, plane *out, lev_error *err)
{
    lev_status st;
    void *a = NULL;
    plane p = {.nx = good_size(2 * card->nx), .ny = good_size(2 * card->ny)};
    p.row = 2 * (p.nx / 2 + 1);
    LEV_TRY(lev_mem_new((size_t)p.row * (size_t)p.ny, sizeof(double), &a, err));
    p.a = a;
    *out = p;
out:
    return st;
}

static void load_card(const lev_picture *card, int c, double room, plane *p)
{
    for (ptrdiff_t j = 0; j < card->ny; j++)
        for (ptrdiff_t i = 0; i < card->nx; i++)
            p->a[j * p->row + i] = (double)card->rgb[3 * (j * card->nx + i) + c] - room;
}

static void store_card(const plane *p, int c, double scale, double floor,
                       lev_picture *out)
{
    for (ptrdiff_t j = 0; j < out->ny; j++)
        for (ptrdiff_t i = 0; i < out->nx; i++)
            out->rgb[3 * (j * out->nx + i) + c] =
                (float)fmax(0.0, scale * p->a[j * p->row + i] + floor);
}

/* ---- the spread of a map's scatter ---- */

typedef struct spot {
    double x, y, wx, wy; /* points of the card */
} spot;

/* Box coverage along one axis: first point and weights. */
enum { SPOT_MAX = 64 };

static int axis_weights(double x, double width, double w[SPOT_MAX], ptrdiff_t *first)
{
    const double low = x - width / 2.0;
    const double high = x + width / 2.0;
    *first = (ptrdiff_t)floor(low + 0.5);
    int n = 0;
    for (ptrdiff_t i = *first; n < SPOT_MAX && (double)i - 0.5 < high; i++, n++)
        w[n] = (fmin(high, (double)i + 0.5) - fmax(low, (double)i - 0.5)) / width;
    return n;
}

static void lay_spot(plane *k, spot s, double power)
{
    double wx[SPOT_MAX];
    double wy[SPOT_MAX];
    ptrdiff_t i0;
    ptrdiff_t j0;
    const int nx = axis_weights(s.x, s.wx, wx, &i0);
    const int ny = axis_weights(s.y, s.wy, wy, &j0);
    for (int j = 0; j < ny; j++) {
        const ptrdiff_t y = (j0 + j + 2 * k->ny) % k->ny;
        double *const row = k->a + y * k->row;
        for (int i = 0; i < nx; i++)
            row[(i0 + i + 2 * k->nx) % k->nx] += power * wy[j] * wx[i];
    }
}

/* The in-plane direction is up in the picture, the other to the right. Returns the
 * share laid down; the rest passed the card. */
static double lay_scatter(const lev_scatter *s, const lev_mirror_view *view,
                          double pitch_mm, plane *k)
{
    const lev_turn t = lev_turn_of(s, view->azimuth_rad);
    const double up = -view->card_mm / (pitch_mm * cos(s->incidence_rad));
    const double side = view->card_mm / pitch_mm;
    const spot size = {.wx = fmin(fmax(1.0, side * t.width_cross), SPOT_MAX - 2.0),
                       .wy = fmin(fmax(1.0, -up * t.width_in), SPOT_MAX - 2.0)};
    const double x_max = (double)k->nx / 2.0 - size.wx - 1.0;
    const double y_max = (double)k->ny / 2.0 - size.wy - 1.0;
    double sum = s->mirror;
    k->a[0] += s->mirror;
    for (ptrdiff_t j = 0; j < s->ny; j++) {
        const ptrdiff_t q = j < (s->ny + 1) / 2 ? j : j - s->ny;
        for (ptrdiff_t i = 0; i < s->nx; i++) {
            const ptrdiff_t p = i < (s->nx + 1) / 2 ? i : i - s->nx;
            const bool beam = labs(p) <= s->mirror_bins && labs(q) <= s->mirror_bins;
            const double power = beam ? s->floor : (double)s->power[j * s->nx + i];
            spot at = size;
            at.x = side * (t.cross_p * (double)p + t.cross_q * (double)q);
            at.y = up * (t.in_p * (double)p + t.in_q * (double)q);
            if (!(power > 0.0) || fabs(at.x) > x_max || fabs(at.y) > y_max)
                continue;
            lay_spot(k, at, power);
            sum += power;
        }
    }
    return sum;
}

/* a := a b, both half-complex. */
static void multiply(plane *a, const plane *b)
{
    for (ptrdiff_t i = 0; i < a->row * a->ny; i += 2) {
        const double re = a->a[i] * b->a[i] - a->a[i + 1] * b->a[i + 1];
        const double im = a->a[i] * b->a[i + 1] + a->a[i + 1] * b->a[i];
        a->a[i] = re;
        a->a[i + 1] = im;
    }
}

/* ---- one colour ---- */

typedef struct tint {
    double reflectance, room, body, gain;
} tint;

static tint tint_of(const lev_mirror_view *view, int c, double view_rad)
{
    lev_reflectance r = {0};
    (void)lev_optics_reflectance(view->optic.nk[c], view_rad, &r, NULL);
    const double room =
        view->room_level > 0.0 ? view->room_level : lev_light_figure("room_level");
    return (tint){r.mean, room, fmax(view->optic.body_colour[c], 0.0) * room,
                  view->gain > 0.0 ? view->gain : 1.0};
}

static void finish(const plane *p, int c, tint t, lev_picture *out)
{
    const double n = (double)p->nx * (double)p->ny;
    store_card(p, c, t.gain * t.reflectance / n,
               t.gain * (t.reflectance * t.room + t.body), out);
}

static lev_status map_colour(const lev_picture *card, const lev_scatter *s, int c,
                             const lev_mirror_view *view, lev_picture *out,
                             lev_error *err)
{
    lev_status st;
    plane a = {0};
    plane k = {0};
    const tint t = tint_of(view, c, s->incidence_rad);
    LEV_TRY(plane_new(card, &a, err));
    LEV_TRY(plane_new(card, &k, err));
    load_card(card, c, t.room, &a);
    (void)lay_scatter(s, view, card->pitch_mm, &k);
    LEV_TRY(lev_fft_forward(a.a, a.nx, a.ny, err));
    LEV_TRY(lev_fft_forward(k.a, k.nx, k.ny, err));
    multiply(&a, &k);
    LEV_TRY(lev_fft_back(a.a, a.nx, a.ny, err));
    finish(&a, c, t, out);
out:
    lev_mem_free(a.a);
    lev_mem_free(k.a);
    return st;
}

static double rough_contrast(const lev_rough *s, double g, double x_um, double y_um)
{
    const double tx = s->length_in_um > 0.0 ? x_um / s->length_in_um : 0.0;
    const double ty = s->length_cross_um > 0.0 ? y_um / s->length_cross_um : 0.0;
    const double e = s->acf == LEV_ACF_GAUSS ? tx * tx + ty * ty : fabs(tx) + fabs(ty);
    return exp(g * expm1(-e));
}

static void rough_filter(plane *p, const lev_rough *s, double um, double view_rad,
                         double card_mm, double pitch_mm)
{
    const double g = lev_optics_g(s->sq_um, um, view_rad);
    const double to_x = um * card_mm / (pitch_mm * (double)p->nx);
    const double to_y = um * card_mm / (pitch_mm * (double)p->ny * cos(view_rad));
    for (ptrdiff_t j = 0; j < p->ny; j++) {
        const double in = to_y * (double)(j <= p->ny / 2 ? j : j - p->ny);
        for (ptrdiff_t i = 0; i <= p->nx / 2; i++) {
            const double c = rough_contrast(s, g, in, to_x * (double)i);
            p->a[j * p->row + 2 * i] *= c;
            p->a[j * p->row + 2 * i + 1] *= c;
        }
    }
}

static lev_status rough_colour(const lev_picture *card, const lev_rough *s, int c,
                               double view_rad, const lev_mirror_view *view,
                               lev_picture *out, lev_error *err)
{
    lev_status st;
    plane a = {0};
    const tint t = tint_of(view, c, view_rad);
    LEV_TRY(plane_new(card, &a, err));
    load_card(card, c, t.room, &a);
    LEV_TRY(lev_fft_forward(a.a, a.nx, a.ny, err));
    rough_filter(&a, s, lev_optics_wavelength_um(c), view_rad, view->card_mm,
                 card->pitch_mm);
    LEV_TRY(lev_fft_back(a.a, a.nx, a.ny, err));
    finish(&a, c, t, out);
out:
    lev_mem_free(a.a);
    return st;
}

/* ---- pictures ---- */

static lev_status check_view(const lev_picture *card, const lev_mirror_view *view,
                             lev_error *err)
{
    if (!(view->card_mm > 0.0 && view->card_mm <= 1e5))
        return lev_fail(err, LEV_E_RANGE,
                        "a card %g mm from the face; above 0, to 100000 mm",
                        view->card_mm);
    if (card->rgb == NULL || card->nx < 1 || card->ny < 1 || !(card->pitch_mm > 0.0))
        return lev_fail(err, LEV_E_RANGE, "a card without picture or pitch");
    return LEV_OK;
}

lev_status lev_optics_reflect(const lev_picture *card, const lev_scatter scatter[3],
                              const lev_mirror_view *view, lev_picture *out,
                              lev_error *err)
{
    lev_status st;
    lev_picture p = {0};
    LEV_TRY(check_view(card, view, err));
    LEV_TRY(lev_picture_new(card->nx, card->ny, card->pitch_mm, 0.0F, &p, err));
    for (int c = 0; c < LEV_COLOURS; c++)
        LEV_TRY(map_colour(card, &scatter[c], c, view, &p, err));
    *out = p;
    p = (lev_picture){0};
out:
    lev_picture_release(&p);
    return st;
}

lev_status lev_optics_rough_reflect(const lev_picture *card, const lev_rough *s,
                                    double view_rad, const lev_mirror_view *view,
                                    lev_picture *out, lev_error *err)
{
    lev_status st;
    lev_picture p = {0};
    LEV_TRY(check_view(card, view, err));
    if (!(s->sq_um >= 0.0) || !(view_rad >= 0.0 && view_rad <= lev_light_rad(89.0)))
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "an rms height of %g um seen at %g rad; 0 or more, 0 to 1.55",
                         s->sq_um, view_rad));
    LEV_TRY(lev_picture_new(card->nx, card->ny, card->pitch_mm, 0.0F, &p, err));
    for (int c = 0; c < LEV_COLOURS; c++)
        LEV_TRY(rough_colour(card, s, c, view_rad, view, &p, err));
    *out = p;
    p = (lev_picture){0};
out:
    lev_picture_release(&p);
    return st;
}

lev_status lev_optics_map_reflect(const lev_picture *card, const lev_height_view *maps,
                                  ptrdiff_t n, const lev_look_request *req,
                                  const lev_mirror_view *view, lev_picture *out,
                                  lev_error *err)
{
    lev_status st = LEV_OK;
    lev_scatter s[LEV_COLOURS] = {0};
    lev_scatter_request r = {.repeats = req->repeats};
    r.incidence_rad = req->view_rad > 0.0 ? req->view_rad : lev_optics_view_rad();
    for (int c = LEV_BLUE; c >= LEV_RED; c--) { /* blue is the first to be too steep */
        r.wavelength_um = lev_optics_wavelength_um(c);
        st = lev_optics_scatter(maps, n, &r, &s[c], err);
        if (st == LEV_E_RANGE && r.way == LEV_SCATTER_WAVES) {
            r.way = LEV_SCATTER_FACETS;
            st = lev_optics_scatter(maps, n, &r, &s[c], err);
        }
        LEV_TRY(st);
    }
    LEV_TRY(lev_optics_reflect(card, s, view, out, err));
out:
    for (int c = 0; c < LEV_COLOURS; c++)
        lev_scatter_release(&s[c]);
    return st;
}
