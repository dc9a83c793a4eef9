/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The life of a canvas: surface, pages, sink. A PDF has true pages; SVG and PNG show
 * the pages one below the other. Font hinting is off, so that a line breaks at the same
 * word in every format. */
#include "card_canvas_own.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "mem.h"

enum {
    PAGES_MAX = 400,        /* four pages for each of the most faces a job may have */
    PIXELS_MAX = 120000000, /* one picture: half a gigabyte of memory */
    SIDE_PIXELS_MAX = 32000 /* the drawing library's own limit is 32767 */
};

lev_status lev_canvas_paper(lev_card_paper paper, double *width_mm, double *height_mm,
                            lev_error *err)
{
    static const double size_mm[][2] = {
        [LEV_CARD_A4] = {210.0, 297.0}, [LEV_CARD_LETTER] = {215.9, 279.4},
        [LEV_CARD_A5] = {148.0, 210.0}, [LEV_CARD_A3] = {420.0, 297.0},
        [LEV_CARD_A2] = {594.0, 420.0},
    };
    if ((int)paper < 0 || (size_t)paper >= sizeof size_mm / sizeof *size_mm)
        return lev_fail(err, LEV_E_USAGE, "paper number %d is none of ours",
                        (int)paper);
    *width_mm = size_mm[paper][0];
    *height_mm = size_mm[paper][1];
    return LEV_OK;
}

void lev_canvas_fail(lev_canvas *c, lev_status st, const char *format, ...)
{
    char text[LEV_ERROR_MAX];
    if (c->st < 0)
        return;
    va_list ap;
    va_start(ap, format);
    (void)vsnprintf(text, sizeof text, format, ap);
    va_end(ap);
    c->st = lev_fail(&c->err, st, "%s", text);
}

void lev_canvas_mute(lev_canvas *c)
{
    c->muted++;
}

void lev_canvas_unmute(lev_canvas *c)
{
    c->muted--;
}

bool lev_canvas_is_silent(const lev_canvas *c)
{
    return c->st < 0 || c->muted > 0 || c->cr == NULL || c->page == 0;
}

static cairo_status_t pass_on(void *closure, const unsigned char *bytes, unsigned n)
{
    const lev_card_out *out = closure;
    return out->write(out->to, bytes, n) == 0 ? CAIRO_STATUS_SUCCESS
                                              : CAIRO_STATUS_WRITE_ERROR;
}

/* The date as the PDF wants it: a day alone means its midnight. */
static lev_status full_date(const char *date, char out[32], lev_error *err)
{
    static const char mask[] = "0000-00-00T00:00:00Z";
    const size_t n = date == NULL ? 0 : strlen(date);
    bool good = n == 10 || n == sizeof mask - 1;
    for (size_t i = 0; good && i < n; i++) {
        const bool digit = date[i] >= '0' && date[i] <= '9';
        good = mask[i] == '0' ? digit : date[i] == mask[i];
    }
    if (!good)
        return lev_fail(err, LEV_E_FORMAT,
                        "date \"%.40s\" is not YYYY-MM-DD or YYYY-MM-DDThh:mm:ssZ",
                        date == NULL ? "" : date);
    (void)snprintf(out, 32, "%s%s", date, mask + n);
    return LEV_OK;
}

static lev_status open_pdf(lev_canvas *c, double w_pt, double h_pt, lev_error *err)
{
    char date[32];
    const lev_card_head *head = &c->spec.head;
    const lev_status st = full_date(head->date, date, err);
    if (st < 0)
        return st;
    c->surface = cairo_pdf_surface_create_for_stream(pass_on, &c->spec.out, w_pt, h_pt);
    if (cairo_surface_status(c->surface) != CAIRO_STATUS_SUCCESS)
        return LEV_OK; /* told by the caller */
    cairo_pdf_surface_restrict_to_version(c->surface, CAIRO_PDF_VERSION_1_5);
    cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_TITLE,
                                   head->title == NULL ? "" : head->title);
    cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_CREATOR,
                                   head->version == NULL ? "" : head->version);
    cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
    cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_MOD_DATE, date);
    return LEV_OK;
}

static lev_status open_png(lev_canvas *c, double w_pt, double h_pt, lev_error *err)
{
    const double dpi = c->spec.out.dpi > 0.0 ? c->spec.out.dpi : 150.0;
    if (!(dpi >= 36.0 && dpi <= 600.0))
        return lev_fail(err, LEV_E_RANGE, "%g dots an inch is not from 36 to 600", dpi);
    const double scale = dpi / 72.0;
    const double w = w_pt * scale + 0.5;
    const double h = h_pt * scale + 0.5;
    if (w > SIDE_PIXELS_MAX || h > SIDE_PIXELS_MAX || w * h > PIXELS_MAX)
        return lev_fail(err, LEV_E_LIMIT,
                        "%d pages are %.0f x %.0f pixels at %g dots an inch, too many "
                        "for one picture; fewer dots or PDF would do",
                        c->spec.pages, w, h, dpi);
    c->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)w, (int)h);
    cairo_surface_set_device_scale(c->surface, scale, scale);
    return LEV_OK;
}

static lev_status open_surface(lev_canvas *c, lev_error *err)
{
    lev_status st = LEV_OK;
    const double w_pt = card_pt(c->spec.width_mm);
    const double h_pt = card_pt(c->spec.height_mm);
    const double all_pt = h_pt * c->spec.pages;

    switch (c->spec.out.format) {
    case LEV_CARD_PDF:
        LEV_TRY(open_pdf(c, w_pt, h_pt, err));
        break;
    case LEV_CARD_SVG:
        c->surface =
            cairo_svg_surface_create_for_stream(pass_on, &c->spec.out, w_pt, all_pt);
        break;
    case LEV_CARD_PNG:
        LEV_TRY(open_png(c, w_pt, all_pt, err));
        break;
    default:
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "format number %d is none of ours",
                         (int)c->spec.out.format));
    }
    c->cr = cairo_create(c->surface);
    const cairo_status_t bad = cairo_status(c->cr);
    if (bad != CAIRO_STATUS_SUCCESS)
        LEV_TRY(lev_fail(err, LEV_E_SYSTEM, "drawing could not begin: %s",
                         cairo_status_to_string(bad)));
out:
    return st;
}

static void open_fonts(lev_canvas *c)
{
    cairo_font_options_t *o = cairo_font_options_create();
    cairo_font_options_set_hint_style(o, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(o, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(o, CAIRO_ANTIALIAS_GRAY);
    c->fonts = pango_cairo_font_map_new();
    pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(c->fonts), 72.0);
    c->text = pango_font_map_create_context(c->fonts);
    pango_cairo_context_set_font_options(c->text, o);
    pango_context_set_round_glyph_positions(c->text, FALSE);
    pango_context_set_language(c->text, pango_language_from_string("en"));
    c->layout = pango_layout_new(c->text);
    cairo_font_options_destroy(o);
}

lev_status lev_canvas_new(const lev_canvas_spec *spec, lev_canvas **out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_canvas *c = NULL;
    void *p = NULL;

    if (!spec->dry && (spec->pages < 1 || spec->pages > PAGES_MAX))
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "%d pages are not from 1 to %d", spec->pages,
                         PAGES_MAX));
    if (!spec->dry && spec->out.write == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "nowhere to write the drawing to"));
    LEV_TRY(lev_mem_new(1, sizeof *c, &p, err));
    c = p;
    c->spec = *spec;
    open_fonts(c);
    if (!spec->dry)
        LEV_TRY(open_surface(c, err));
    *out = c;
    c = NULL;
out:
    lev_canvas_free(c);
    return st;
}

/* Paper under the pages of a picture, and a hairline where one ends. */
static void lay_paper(lev_canvas *c, int index)
{
    cairo_identity_matrix(c->cr);
    cairo_translate(c->cr, 0.0, card_pt(c->spec.height_mm) * index);
    cairo_rectangle(c->cr, 0.0, 0.0, card_pt(c->spec.width_mm),
                    card_pt(c->spec.height_mm));
    cairo_set_source_rgb(c->cr, 1.0, 1.0, 1.0);
    cairo_fill(c->cr);
    if (index == 0)
        return;
    lev_canvas_line(c, (lev_point){0.0, 0.0}, (lev_point){c->spec.width_mm, 0.0},
                    (lev_pen){.width_mm = 0.2, .dash_mm = 2.0});
}

void lev_canvas_page(lev_canvas *c)
{
    c->page++;
    if (c->cr == NULL || c->st < 0)
        return;
    if (c->page > c->spec.pages) {
        lev_canvas_fail(c, LEV_E_LIMIT, "page %d of %d", c->page, c->spec.pages);
        return;
    }
    if (c->spec.out.format != LEV_CARD_PDF)
        lay_paper(c, c->page - 1);
    else if (c->page > 1)
        cairo_show_page(c->cr);
}

static void close_surface(lev_canvas *c)
{
    if (c->spec.out.format == LEV_CARD_PNG) {
        const cairo_status_t bad =
            cairo_surface_write_to_png_stream(c->surface, pass_on, &c->spec.out);
        if (bad != CAIRO_STATUS_SUCCESS)
            lev_canvas_fail(c, LEV_E_IO, "the picture could not be written: %s",
                            cairo_status_to_string(bad));
        return;
    }
    cairo_show_page(c->cr);
    cairo_surface_finish(c->surface);
    cairo_status_t bad = cairo_status(c->cr);
    if (bad == CAIRO_STATUS_SUCCESS)
        bad = cairo_surface_status(c->surface);
    if (bad == CAIRO_STATUS_WRITE_ERROR)
        lev_canvas_fail(c, LEV_E_IO, "the drawing could not be written");
    else if (bad != CAIRO_STATUS_SUCCESS)
        lev_canvas_fail(c, LEV_E_SYSTEM, "the drawing failed: %s",
                        cairo_status_to_string(bad));
}

lev_status lev_canvas_finish(lev_canvas *c, lev_error *err)
{
    if (c->st >= 0 && c->cr != NULL)
        close_surface(c);
    if (c->st < 0)
        return lev_fail(err, c->st, "%s", c->err.text);
    return LEV_OK;
}

/* A surface that is dropped unfinished would still write: its sink is shut first. */
static int write_nowhere(void *to, const unsigned char *bytes, size_t n)
{
    (void)to;
    (void)bytes;
    (void)n;
    return 0;
}

void lev_canvas_free(lev_canvas *c)
{
    if (c == NULL)
        return;
    c->spec.out.write = write_nowhere;
    if (c->cr != NULL)
        cairo_destroy(c->cr);
    if (c->surface != NULL)
        cairo_surface_destroy(c->surface);
    if (c->layout != NULL)
        g_object_unref(c->layout);
    if (c->text != NULL)
        g_object_unref(c->text);
    if (c->fonts != NULL)
        g_object_unref(c->fonts);
    lev_mem_free(c);
}
