/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines, fills, arrows and pictures on a canvas. */
#include "card_canvas_own.h"

#include <math.h>
#include <string.h>

#include "units.h"

static const double HATCH_MM = 0.9;       /* between the lines of a hatch */
static const double HATCH_PEN_MM = 0.25;  /* their width: survives a photocopier */
static const double HEAD_HALF_DEG = 24.0; /* half the angle of an arrow head */

static double rad(double deg)
{
    return deg * LEV_PI / 180.0;
}

static void set_ink(lev_canvas *c, double ink)
{
    double share = ink > 0.0 ? ink : 1.0;
    if (share < LEV_CANVAS_INK_MIN)
        share = LEV_CANVAS_INK_MIN;
    cairo_set_source_rgb(c->cr, 1.0 - share, 1.0 - share, 1.0 - share);
}

static void stroke(lev_canvas *c, lev_pen pen)
{
    const double dash_pt = card_pt(pen.dash_mm);
    set_ink(c, pen.ink);
    cairo_set_line_width(c->cr, card_pt(pen.width_mm));
    cairo_set_line_join(c->cr, CAIRO_LINE_JOIN_MITER);
    cairo_set_dash(c->cr, &dash_pt, pen.dash_mm > 0.0 ? 1 : 0, 0.0);
    cairo_stroke(c->cr);
}

static void add_path(lev_canvas *c, const lev_point *p, ptrdiff_t n)
{
    cairo_new_path(c->cr);
    for (ptrdiff_t i = 0; i < n; i++)
        cairo_line_to(c->cr, card_pt(p[i].x_mm), card_pt(p[i].y_mm));
}

static void add_rect(lev_canvas *c, lev_rect r)
{
    cairo_new_path(c->cr);
    cairo_rectangle(c->cr, card_pt(r.x_mm), card_pt(r.y_mm), card_pt(r.w_mm),
                    card_pt(r.h_mm));
}

/* Slanted lines over the extent of the current path, kept inside it. */
static void hatch(lev_canvas *c)
{
    double x0 = 0.0;
    double y0 = 0.0;
    double x1 = 0.0;
    double y1 = 0.0;
    cairo_path_extents(c->cr, &x0, &y0, &x1, &y1);
    cairo_save(c->cr);
    cairo_clip(c->cr);
    const double h = y1 - y0;
    const double pitch = card_pt(HATCH_MM) * sqrt(2.0);
    const int first = (int)floor((x0 - h) / pitch);
    const int last = (int)ceil(x1 / pitch);
    for (int i = first; i < last; i++) {
        const double x = pitch * i;
        cairo_move_to(c->cr, x, y1);
        cairo_line_to(c->cr, x + h, y0);
    }
    stroke(c, (lev_pen){.width_mm = HATCH_PEN_MM});
    cairo_restore(c->cr);
}

/* Fill the current path and keep it. */
static void fill_path(lev_canvas *c, lev_fill_kind kind)
{
    if (kind == LEV_FILL_SOLID)
        set_ink(c, 1.0);
    else if (kind == LEV_FILL_GREY)
        set_ink(c, LEV_CANVAS_INK_MIN);
    else
        cairo_set_source_rgb(c->cr, 1.0, 1.0, 1.0);
    cairo_fill_preserve(c->cr);
    if (kind != LEV_FILL_HATCH)
        return;
    cairo_path_t *keep = cairo_copy_path(c->cr);
    hatch(c);
    cairo_new_path(c->cr);
    cairo_append_path(c->cr, keep);
    cairo_path_destroy(keep);
}

void lev_canvas_line(lev_canvas *c, lev_point a, lev_point b, lev_pen pen)
{
    const lev_point p[] = {a, b};
    lev_canvas_polyline(c, p, 2, pen);
}

void lev_canvas_polyline(lev_canvas *c, const lev_point *p, ptrdiff_t n, lev_pen pen)
{
    if (lev_canvas_is_silent(c) || n < 2)
        return;
    add_path(c, p, n);
    stroke(c, pen);
}

void lev_canvas_rect(lev_canvas *c, lev_rect r, lev_pen pen)
{
    if (lev_canvas_is_silent(c))
        return;
    add_rect(c, r);
    stroke(c, pen);
}

void lev_canvas_fill_rect(lev_canvas *c, lev_rect r, lev_fill_kind fill)
{
    if (lev_canvas_is_silent(c))
        return;
    add_rect(c, r);
    fill_path(c, fill);
    cairo_new_path(c->cr);
}

void lev_canvas_polygon(lev_canvas *c, const lev_point *p, ptrdiff_t n,
                        lev_fill_kind fill, lev_pen pen)
{
    if (lev_canvas_is_silent(c) || n < 3)
        return;
    add_path(c, p, n);
    cairo_close_path(c->cr);
    fill_path(c, fill);
    if (pen.width_mm > 0.0)
        stroke(c, pen);
    cairo_new_path(c->cr);
}

void lev_canvas_arc(lev_canvas *c, lev_point centre, double radius_mm, double from_deg,
                    double to_deg, lev_pen pen)
{
    if (lev_canvas_is_silent(c))
        return;
    cairo_new_path(c->cr);
    cairo_arc_negative(c->cr, card_pt(centre.x_mm), card_pt(centre.y_mm),
                       card_pt(radius_mm), -rad(from_deg), -rad(to_deg));
    stroke(c, pen);
}

void lev_canvas_arrow_head(lev_canvas *c, lev_point tip, double angle_deg,
                           double head_mm)
{
    const double a = rad(angle_deg + 180.0 - HEAD_HALF_DEG);
    const double b = rad(angle_deg + 180.0 + HEAD_HALF_DEG);
    const lev_point p[] = {
        tip,
        {tip.x_mm + head_mm * cos(a), tip.y_mm - head_mm * sin(a)},
        {tip.x_mm + head_mm * cos(b), tip.y_mm - head_mm * sin(b)},
    };
    lev_canvas_polygon(c, p, 3, LEV_FILL_SOLID, (lev_pen){0});
}

void lev_canvas_arrow(lev_canvas *c, lev_point a, lev_point b, double head_mm,
                      lev_pen pen)
{
    const double dx = b.x_mm - a.x_mm;
    const double dy = b.y_mm - a.y_mm;
    const double length = hypot(dx, dy);
    if (!(length > 0.0))
        return;
    const double neck = head_mm * cos(rad(HEAD_HALF_DEG)) / length;
    const lev_point end = {b.x_mm - dx * neck, b.y_mm - dy * neck};
    lev_canvas_line(c, a, end, pen);
    lev_canvas_arrow_head(c, b, atan2(-dy, dx) * 180.0 / LEV_PI, head_mm);
}

static void copy_row(const lev_card_image *image, ptrdiff_t row, unsigned char *to)
{
    const unsigned char *from = image->pixel + row * image->stride;
    const int k = image->channels;
    for (ptrdiff_t x = 0; x < image->width; x++) {
        const unsigned char *p = from + x * k;
        const unsigned r = p[0];
        const unsigned g = p[k > 1 ? 1 : 0];
        const unsigned b = p[k > 1 ? 2 : 0];
        const unsigned rgb = r << 16U | g << 8U | b;
        memcpy(to + x * 4, &rgb, 4);
    }
}

static cairo_surface_t *image_surface(lev_canvas *c, const lev_card_image *image)
{
    const bool good = image->pixel != NULL && image->width > 0 && image->height > 0 &&
                      image->width <= 16384 && image->height <= 16384 &&
                      (image->channels == 1 || image->channels == 3) &&
                      image->stride >= image->width * image->channels;
    if (!good) {
        lev_canvas_fail(
            c, LEV_E_USAGE,
            "picture of %td x %td pixels in %d channels cannot be drawn; at "
            "most 16384 a side in 1 or 3",
            image->width, image->height, image->channels);
        return NULL;
    }
    cairo_surface_t *s = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, (int)image->width, (int)image->height);
    if (cairo_surface_status(s) != CAIRO_STATUS_SUCCESS) {
        lev_canvas_fail(c, LEV_E_MEMORY, "out of memory for a picture on the page");
        cairo_surface_destroy(s);
        return NULL;
    }
    for (ptrdiff_t y = 0; y < image->height; y++)
        copy_row(image, y,
                 cairo_image_surface_get_data(s) +
                     y * cairo_image_surface_get_stride(s));
    cairo_surface_mark_dirty(s);
    return s;
}

void lev_canvas_image(lev_canvas *c, lev_rect r, const lev_card_image *image)
{
    if (lev_canvas_is_silent(c))
        return;
    cairo_surface_t *s = image_surface(c, image);
    if (s == NULL)
        return;
    cairo_save(c->cr);
    cairo_translate(c->cr, card_pt(r.x_mm), card_pt(r.y_mm));
    cairo_scale(c->cr, card_pt(r.w_mm) / (double)image->width,
                card_pt(r.h_mm) / (double)image->height);
    cairo_set_source_surface(c->cr, s, 0.0, 0.0);
    cairo_pattern_set_filter(cairo_get_source(c->cr), CAIRO_FILTER_NEAREST);
    cairo_paint(c->cr);
    cairo_restore(c->cr);
    cairo_surface_destroy(s);
}

void lev_canvas_clip(lev_canvas *c, lev_rect r, bool circle)
{
    if (lev_canvas_is_silent(c))
        return;
    cairo_save(c->cr);
    if (circle) {
        cairo_new_path(c->cr);
        cairo_arc(c->cr, card_pt(r.x_mm + r.w_mm / 2.0), card_pt(r.y_mm + r.h_mm / 2.0),
                  card_pt(r.w_mm / 2.0), 0.0, 2.0 * LEV_PI);
    } else {
        add_rect(c, r);
    }
    cairo_clip(c->cr);
}

void lev_canvas_unclip(lev_canvas *c)
{
    if (!lev_canvas_is_silent(c))
        cairo_restore(c->cr);
}
