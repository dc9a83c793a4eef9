/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text on a canvas, by Pango. The family is named, ligatures are off (a search for a
 * word must find it), and a letter that no font has is a failure: a box in the place of
 * a word on a card can hurt somebody. */
#include "card_canvas_own.h"

#include <string.h>

#include "units.h"

enum { TEXT_BYTES_MAX = 8192 }; /* one paragraph: more than fills a page */

static bool is_good_text(lev_canvas *c, const char *s)
{
    const size_t n = strlen(s);
    if (n > TEXT_BYTES_MAX) {
        lev_canvas_fail(c, LEV_E_LIMIT,
                        "text of %zu bytes, at most %d fit: \"%.40s...\"", n,
                        TEXT_BYTES_MAX, s);
        return false;
    }
    if (!g_utf8_validate(s, (gssize)n, NULL)) {
        lev_canvas_fail(c, LEV_E_FORMAT, "a text for the page is not UTF-8");
        return false;
    }
    return true;
}

/* Bytes of a unit that begins at s: one to four letters, then no letter; else 0. */
static size_t unit_bytes(const char *s)
{
    size_t n = 0;
    long letters = 0;
    while (g_unichar_isalpha(g_utf8_get_char(s + n))) {
        n = (size_t)(g_utf8_next_char(s + n) - s);
        letters++;
    }
    return letters <= 4 ? n : 0;
}

/* No line ends between a number and its unit. */
static void keep_units(PangoAttrList *list, const char *text)
{
    for (size_t i = 0; text[i] != '\0'; i++) {
        if (!g_ascii_isdigit(text[i]) || text[i + 1] != ' ')
            continue;
        const size_t n = unit_bytes(text + i + 2);
        if (n == 0)
            continue;
        PangoAttribute *keep = pango_attr_allow_breaks_new(FALSE);
        keep->start_index = (guint)i;
        keep->end_index = (guint)(i + 2 + n);
        pango_attr_list_insert(list, keep);
    }
}

/* lead in bold, then the rest; both are one paragraph. */
static void set_attributes(lev_canvas *c, const lev_type *type, size_t lead_n,
                           const char *all)
{
    PangoAttrList *list = pango_attr_list_new();
    keep_units(list, all);
    pango_attr_list_insert(list, pango_attr_font_features_new("liga=0, clig=0"));
    PangoAttribute *bold = pango_attr_weight_new(PANGO_WEIGHT_BOLD);
    bold->start_index = 0;
    bold->end_index = type->bold ? G_MAXUINT : (guint)lead_n;
    pango_attr_list_insert(list, bold);
    pango_layout_set_attributes(c->layout, list);
    pango_attr_list_unref(list);
}

static void set_font(lev_canvas *c, double size_pt)
{
    PangoFontDescription *d = pango_font_description_new();
    pango_font_description_set_family_static(d, LEV_CANVAS_FAMILY);
    pango_font_description_set_absolute_size(d, size_pt * PANGO_SCALE);
    pango_layout_set_font_description(c->layout, d);
    pango_font_description_free(d);
}

/* Set the canvas's layout; false when there is nothing to show. */
static bool set_layout(lev_canvas *c, const lev_type *type, const char *lead,
                       const char *text)
{
    static const PangoAlignment align[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER,
                                           PANGO_ALIGN_RIGHT};
    const char *head = lead == NULL ? "" : lead;
    const char *rest = text == NULL ? "" : text;
    if (c->st < 0 || (*head == '\0' && *rest == '\0'))
        return false;
    if (!is_good_text(c, head) || !is_good_text(c, rest))
        return false;
    gchar *all =
        g_strconcat(head, *head != '\0' && *rest != '\0' ? "  " : "", rest, NULL);
    pango_layout_set_text(c->layout, all, -1);
    set_font(c, type->size_pt);
    set_attributes(c, type, strlen(head), all);
    pango_layout_set_width(c->layout, type->width_mm > 0.0
                                          ? (int)(card_pt(type->width_mm) * PANGO_SCALE)
                                          : -1);
    pango_layout_set_wrap(c->layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_alignment(c->layout, align[type->align]);
    if (pango_layout_get_unknown_glyphs_count(c->layout) > 0)
        lev_canvas_fail(c, LEV_E_SYSTEM,
                        "no installed font has every letter of \"%.80s\"; install one "
                        "that does",
                        all);
    g_free(all);
    return c->st >= 0;
}

static void layout_size(lev_canvas *c, double *w_mm, double *h_mm)
{
    int w = 0;
    int h = 0;
    pango_layout_get_size(c->layout, &w, &h);
    *w_mm = (double)w / PANGO_SCALE * LEV_CANVAS_MM_PER_PT;
    *h_mm = (double)h / PANGO_SCALE * LEV_CANVAS_MM_PER_PT;
}

void lev_canvas_text_size(lev_canvas *c, const lev_type *type, const char *lead,
                          const char *text, double *width_mm, double *height_mm)
{
    *width_mm = 0.0;
    *height_mm = 0.0;
    if (set_layout(c, type, lead, text))
        layout_size(c, width_mm, height_mm);
}

static void show_layout(lev_canvas *c, const lev_type *type)
{
    const double grey = type->white ? 1.0 : 0.0;
    cairo_set_source_rgb(c->cr, grey, grey, grey);
    pango_cairo_show_layout(c->cr, c->layout);
}

double lev_canvas_text(lev_canvas *c, double x_mm, double y_mm, const lev_type *type,
                       const char *lead, const char *text)
{
    double w_mm = 0.0;
    double h_mm = 0.0;
    if (!set_layout(c, type, lead, text))
        return 0.0;
    layout_size(c, &w_mm, &h_mm);
    if (lev_canvas_is_silent(c))
        return h_mm;
    double left_mm = x_mm;
    if (type->width_mm <= 0.0 && type->align == LEV_ALIGN_CENTRE)
        left_mm -= w_mm / 2.0;
    if (type->width_mm <= 0.0 && type->align == LEV_ALIGN_RIGHT)
        left_mm -= w_mm;
    cairo_move_to(c->cr, card_pt(left_mm), card_pt(y_mm));
    show_layout(c, type);
    return h_mm;
}

void lev_canvas_text_turned(lev_canvas *c, double x_mm, double y_mm, double angle_deg,
                            const lev_type *type, const char *text)
{
    double w_mm = 0.0;
    double h_mm = 0.0;
    if (!set_layout(c, type, NULL, text) || lev_canvas_is_silent(c))
        return;
    layout_size(c, &w_mm, &h_mm);
    cairo_save(c->cr);
    cairo_translate(c->cr, card_pt(x_mm), card_pt(y_mm));
    cairo_rotate(c->cr, -angle_deg * LEV_PI / 180.0);
    cairo_move_to(c->cr, -card_pt(w_mm) / 2.0, -card_pt(h_mm) / 2.0);
    show_layout(c, type);
    cairo_restore(c->cr);
}
