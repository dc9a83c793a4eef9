/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pages to draw on. Millimetres from the top left corner of the page, y downward; type
 * in points; ink from 0 (paper) to 1 (black). Angles in degrees, anticlockwise.
 *
 * The first failure sticks: later calls do nothing and lev_canvas_finish reports it, so
 * that a drawing reads as a drawing. A muted canvas measures and draws nothing. */
#ifndef CARD_CANVAS_H
#define CARD_CANVAS_H

#include "levigate/card.h"

#define LEV_CANVAS_FAMILY    "DejaVu Sans" /* regular and bold only: the core package */
#define LEV_CANVAS_INK_MIN   0.6           /* lightest grey, as share of full ink */
#define LEV_CANVAS_MM_PER_PT (25.4 / 72.0) /* exact */

typedef struct lev_canvas lev_canvas;

typedef struct lev_canvas_spec {
    double width_mm, height_mm; /* of a page */
    int pages;                  /* how many will be drawn */
    lev_card_head head;
    lev_card_out out;
    bool dry; /* measures only, writes nothing */
} lev_canvas_spec;

typedef enum lev_canvas_align {
    LEV_ALIGN_LEFT,
    LEV_ALIGN_CENTRE,
    LEV_ALIGN_RIGHT
} lev_canvas_align;

typedef struct lev_type {
    double size_pt;
    bool bold;
    bool white;      /* on black */
    double width_mm; /* 0 = one line, x is then the anchor of the alignment */
    lev_canvas_align align;
} lev_type;

typedef struct lev_pen {
    double width_mm;
    double ink;     /* 0 = black */
    double dash_mm; /* 0 = solid */
} lev_pen;

typedef enum lev_fill_kind {
    LEV_FILL_SOLID,
    LEV_FILL_WHITE,
    LEV_FILL_GREY, /* the lightest grey that survives a photocopier */
    LEV_FILL_HATCH
} lev_fill_kind;

typedef struct lev_point {
    double x_mm, y_mm;
} lev_point;

typedef struct lev_rect {
    double x_mm, y_mm, w_mm, h_mm;
} lev_rect;

/** Page size of a paper, mm. Source: ISO 216 (A sizes); ANSI/ASME Y14.1 size A. */
lev_status lev_canvas_paper(lev_card_paper paper, double *width_mm, double *height_mm,
                            lev_error *err);

/** @param out  the caller frees it with lev_canvas_free */
lev_status lev_canvas_new(const lev_canvas_spec *spec, lev_canvas **out,
                          lev_error *err);
/** Begin the next page. */
void lev_canvas_page(lev_canvas *c);
/** Write out what is left; the first failure of all calls. */
lev_status lev_canvas_finish(lev_canvas *c, lev_error *err);
void lev_canvas_free(lev_canvas *c);

/** Remember a failure met while drawing. */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
void lev_canvas_fail(lev_canvas *c, lev_status st, const char *format, ...);

/** Draw nothing until unmuted as often as muted. */
void lev_canvas_mute(lev_canvas *c);
void lev_canvas_unmute(lev_canvas *c);
/** Nothing would be drawn now: a costly drawing may be skipped. */
bool lev_canvas_is_silent(const lev_canvas *c);

/** Text with its top at y; returns its height. lead (may be NULL) stands before it in
 * bold. */
double lev_canvas_text(lev_canvas *c, double x_mm, double y_mm, const lev_type *type,
                       const char *lead, const char *text);
/** Size of the same text, drawn nowhere. */
void lev_canvas_text_size(lev_canvas *c, const lev_type *type, const char *lead,
                          const char *text, double *width_mm, double *height_mm);
/** One line turned anticlockwise about its centre, which lies at (x, y). */
void lev_canvas_text_turned(lev_canvas *c, double x_mm, double y_mm, double angle_deg,
                            const lev_type *type, const char *text);

void lev_canvas_line(lev_canvas *c, lev_point a, lev_point b, lev_pen pen);
void lev_canvas_polyline(lev_canvas *c, const lev_point *p, ptrdiff_t n, lev_pen pen);
void lev_canvas_rect(lev_canvas *c, lev_rect r, lev_pen pen);
void lev_canvas_fill_rect(lev_canvas *c, lev_rect r, lev_fill_kind fill);
/** Closed and filled, then outlined when the pen has a width. */
void lev_canvas_polygon(lev_canvas *c, const lev_point *p, ptrdiff_t n,
                        lev_fill_kind fill, lev_pen pen);
/** Part of a circle, anticlockwise from one angle to the other. */
void lev_canvas_arc(lev_canvas *c, lev_point centre, double radius_mm, double from_deg,
                    double to_deg, lev_pen pen);
/** From a to b with a filled head of head_mm at b. */
void lev_canvas_arrow(lev_canvas *c, lev_point a, lev_point b, double head_mm,
                      lev_pen pen);
/** Only the head, its tip at `tip`, pointing to angle_deg. */
void lev_canvas_arrow_head(lev_canvas *c, lev_point tip, double angle_deg,
                           double head_mm);
/** A picture stretched over r without smoothing. */
void lev_canvas_image(lev_canvas *c, lev_rect r, const lev_card_image *image);

/** Keep what follows inside r, or inside the circle in r, until lev_canvas_unclip. */
void lev_canvas_clip(lev_canvas *c, lev_rect r, bool circle);
void lev_canvas_unclip(lev_canvas *c);

#endif
