/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A report page: title, lines of text, figures below each other. */
#include <math.h>
#include <string.h>

#include "card_job.h"
#include "card_plot.h"

static const double EDGE_MM = 20.0;
static const double FIGURE_MM = 80.0;

enum { FIGURES_MAX = 200, POINTS_MAX = 2000000 };

static void report_frame(card_flow *f)
{
    const lev_card_report *v = f->view;
    char page[40];
    const lev_type title = {
        .size_pt = 20.0, .bold = true, .width_mm = f->width_mm - 2.0 * EDGE_MM - 40.0};
    const lev_type aside = {.size_pt = 9.0, .align = LEV_ALIGN_RIGHT};
    f->left_mm = EDGE_MM;
    f->right_mm = f->width_mm - EDGE_MM;
    f->bottom_mm = f->height_mm - EDGE_MM;
    card_page_number(f, page);
    lev_canvas_text(f->c, f->right_mm, 12.0, &aside, NULL, page);
    lev_canvas_text(f->c, f->right_mm, 16.5, &aside, NULL, v->head.date);
    lev_canvas_text(f->c, f->right_mm, 21.0, &aside, NULL, v->head.version);
    const double h_mm =
        lev_canvas_text(f->c, f->left_mm, 12.0, &title, NULL, v->head.title);
    f->top_mm = 12.0 + fmax(h_mm, 13.0) + 4.0;
    lev_canvas_line(f->c, (lev_point){f->left_mm, f->top_mm - 2.5},
                    (lev_point){f->right_mm, f->top_mm - 2.5},
                    (lev_pen){.width_mm = 0.6});
}

static double lead_block(card_flow *f, const void *what)
{
    const lev_type type = {
        .size_pt = 18.0, .bold = true, .width_mm = card_flow_width(f)};
    return lev_canvas_text(f->c, f->left_mm, f->y_mm, &type, NULL, what) + 1.5;
}

/* The next cell of a line that blanks part into columns; NULL when there is none. */
static const char *next_cell(const char *s, char cell[80])
{
    size_t n = 0;
    while (*s == ' ')
        s++;
    if (*s == '\0')
        return NULL;
    for (; *s != '\0' && !(s[0] == ' ' && s[1] == ' ') && n + 1 < 80; s++)
        cell[n++] = *s;
    cell[n] = '\0';
    return s;
}

/* Names and values by turns, as the screen shows them in columns. */
static double columns_block(card_flow *f, const void *what)
{
    const double name_mm = 14.0;
    const double pair_mm = card_flow_width(f) / 3.0;
    const lev_type name = {.size_pt = 11.0, .bold = true}, value = {.size_pt = 11.0};
    char cell[80];
    double h_mm = 0.0;
    const char *s = what;
    for (int i = 0; (s = next_cell(s, cell)) != NULL; i++) {
        const double x = f->left_mm + i / 2 * pair_mm + i % 2 * name_mm;
        h_mm = fmax(h_mm, lev_canvas_text(f->c, x, f->y_mm, i % 2 == 0 ? &name : &value,
                                          NULL, cell));
    }
    return h_mm + 1.0;
}

static double line_block(card_flow *f, const void *what)
{
    const double in_mm = *(const char *)what == ' ' ? 5.0 : 0.0;
    return card_para(f, f->left_mm + in_mm, f->y_mm, card_flow_width(f) - in_mm, 11.0,
                     NULL, what) +
           1.0;
}

static bool has_columns(const char *s)
{
    while (*s == ' ')
        s++;
    return strstr(s, "  ") != NULL;
}

static void lay_text(card_flow *f, const char *line, bool first)
{
    card_flow_block(f,
                    first               ? lead_block
                    : has_columns(line) ? columns_block
                                        : line_block,
                    line);
}

static double foot_block(card_flow *f, const void *what)
{
    return card_para(f, f->left_mm, f->y_mm + 2.0, card_flow_width(f), CARD_SMALL_PT,
                     NULL, what) +
           2.0;
}

/* Ends of an axis from the data when the caller set none. */
static lev_card_axis fitted(const lev_card_figure *fig, bool horizontal)
{
    lev_card_axis a = horizontal ? fig->x : fig->y;
    if (a.to > a.from)
        return a;
    double low = HUGE_VAL;
    double high = -HUGE_VAL;
    for (ptrdiff_t s = 0; s < fig->n; s++)
        for (ptrdiff_t i = 0; i < fig->series[s].n; i++) {
            const double v = horizontal ? fig->series[s].x[i] : fig->series[s].y[i];
            if (!isfinite(v) || (a.log && v <= 0.0))
                continue;
            low = fmin(low, v);
            high = fmax(high, v);
        }
    a.from = isfinite(low) ? low : (a.log ? 0.1 : 0.0);
    a.to = isfinite(high) ? high : 1.0;
    if (a.to > a.from)
        return a;
    a.from = a.log ? a.from * 0.5 : a.from - 0.5;
    a.to = a.log ? a.to * 2.0 : a.to + 0.5;
    return a;
}

static void draw_names(card_flow *f, const lev_card_figure *fig, double y_mm)
{
    const lev_type type = {.size_pt = 9.0};
    double x = f->left_mm + 22.0;
    for (ptrdiff_t s = 0; s < fig->n; s++) {
        double w_mm = 0.0;
        double h_mm = 0.0;
        if (!card_has(fig->series[s].name))
            continue;
        lev_canvas_line(
            f->c, (lev_point){x, y_mm + 2.0}, (lev_point){x + 10.0, y_mm + 2.0},
            (lev_pen){.width_mm = 0.5, .dash_mm = fig->series[s].dashed ? 1.6 : 0.0});
        lev_canvas_text_size(f->c, &type, NULL, fig->series[s].name, &w_mm, &h_mm);
        lev_canvas_text(f->c, x + 12.0, y_mm, &type, NULL, fig->series[s].name);
        x += 12.0 + w_mm + 8.0;
    }
}

static double figure_block(card_flow *f, const void *what)
{
    const lev_card_figure *fig = what;
    const double h_mm = fig->height_mm > 0.0 ? fig->height_mm : FIGURE_MM;
    const lev_type title = {.size_pt = 12.0, .bold = true};
    double y = f->y_mm + 3.0;
    y += lev_canvas_text(f->c, f->left_mm, y, &title, NULL, fig->title);
    if (fig->n > 1) {
        draw_names(f, fig, y);
        y += 5.0;
    }
    lev_plot p = {.c = f->c, .x = fitted(fig, true), .y = fitted(fig, false)};
    p.area = (lev_rect){f->left_mm + 20.0, y + 1.5, card_flow_width(f) - 22.0, h_mm};
    if (fig->image.width > 0)
        lev_plot_image(&p, &fig->image);
    lev_plot_axes(&p, fig->image.width == 0);
    for (ptrdiff_t s = 0; s < fig->n; s++)
        lev_plot_line(
            &p, &fig->series[s],
            (lev_pen){.width_mm = 0.45, .dash_mm = fig->series[s].dashed ? 1.6 : 0.0});
    return y + 1.5 + h_mm + 13.0 - f->y_mm;
}

static void lay_report(card_flow *f, const void *view)
{
    const lev_card_report *v = view;
    f->frame = report_frame;
    card_flow_page(f);
    for (ptrdiff_t i = 0; i < v->text.n; i++)
        lay_text(f, v->text.line[i], i == 0);
    for (ptrdiff_t i = 0; i < v->figures; i++)
        card_flow_block(f, figure_block, &v->figure[i]);
    if (card_has(v->foot))
        card_flow_block(f, foot_block, v->foot);
}

static lev_status check_figure(const lev_card_figure *fig, lev_error *err)
{
    const bool logs_good =
        (!fig->x.log || fig->x.from >= 0.0) && (!fig->y.log || fig->y.from >= 0.0);
    if (!logs_good || (fig->x.log && fig->x.to > fig->x.from && !(fig->x.from > 0.0)) ||
        (fig->y.log && fig->y.to > fig->y.from && !(fig->y.from > 0.0)))
        return lev_fail(err, LEV_E_RANGE,
                        "a logarithmic axis begins at 0 or below; a positive number "
                        "would be right");
    for (ptrdiff_t s = 0; s < fig->n; s++)
        if (fig->series[s].n < 0 || fig->series[s].n > POINTS_MAX)
            return lev_fail(err, LEV_E_LIMIT, "%td points on a line, at most %d fit",
                            fig->series[s].n, POINTS_MAX);
    return LEV_OK;
}

lev_status card_report(const lev_card_report *v, const lev_card_out *to, lev_error *err)
{
    lev_status st = LEV_OK;
    if (v->figures < 0 || v->figures > FIGURES_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "%td figures in a report, at most %d fit",
                         v->figures, FIGURES_MAX));
    for (ptrdiff_t i = 0; i < v->figures; i++)
        LEV_TRY(check_figure(&v->figure[i], err));
    LEV_TRY(card_print(lay_report, v, &v->head, to, err));
out:
    return st;
}
