/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wall chart: one axis of sizes, one band a grit system and measuring method, one
 * bar a grit. Within a band the bars are put into as few rows as leave every label
 * free, finest first; all rows of the chart have one height: the largest that needs no
 * more pages than the smallest that can be read. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "arena.h"
#include "card_job.h"
#include "card_plot.h"
#include "card_words.h"

static const double NAME_MM = 80.0; /* column of the systems' names */
static const double BAND_GAP_MM = 3.0;
static const double ROW_LEAST_MM = 3.0; /* labels of 7 pt */
static const double ROW_MOST_MM = 5.6;
static const double EDGE_MM = 13.0;
static const double LABEL_GAP_MM = 1.3; /* from the end of a bar to its label */
static const double MARK_ROW_MM = 5.2;  /* a likeness over the bars */
static const double LEGEND_MM = 26.0;
static const double SAMPLE_PT = 10.0; /* labels are measured once at this size */

enum { ROWS_MAX = 4000, BANDS_MAX = 60, LANES_MAX = 30, MARKS_MAX = 24 };

typedef struct placed { /* one bar */
    const lev_card_chart_row *row;
    double from_um, to_um; /* what is drawn; equal for a tick alone */
    double label_mm;       /* width of its label at SAMPLE_PT */
    int lane;
} placed;

typedef struct band_view {
    const lev_card_chart_band *band;
    placed *item;
    bool goes_on;             /* the band above it is of the same system */
    double name_mm, short_mm; /* height of its names, and of the method alone */
    int lanes;
} band_view;

typedef struct chart_view {
    const lev_card_chart *chart;
    band_view *band;
    lev_plot plot;
    int mark_row[MARKS_MAX], mark_rows;
    double row_mm; /* height of one row of bars */
} chart_view;

static double label_pt(double row_mm)
{
    return row_mm * 0.82 / LEV_CANVAS_MM_PER_PT;
}

/* ---- preparation, the same in both runs ---- */

static lev_status place_row(const lev_card_chart_row *row, placed *out, lev_error *err)
{
    const double v[] = {row->fine_um, row->d50_um, row->coarse_um};
    *out = (placed){.row = row, .from_um = HUGE_VAL};
    for (int i = 0; i < 3; i++) {
        if (isnan(v[i]))
            continue;
        if (!(v[i] >= 0.0 && isfinite(v[i])) || (i > 0 && !(v[i] > 0.0)))
            return lev_fail(err, LEV_E_RANGE, "grit \"%.40s\" has the size %g um",
                            row->label == NULL ? "" : row->label, v[i]);
        out->from_um = fmin(out->from_um, v[i]);
        out->to_um = fmax(out->to_um, v[i]);
    }
    if (!(out->to_um > 0.0))
        return lev_fail(err, LEV_E_USAGE, "grit \"%.40s\" has no size to draw",
                        row->label == NULL ? "" : row->label);
    return LEV_OK;
}

static int by_size(const void *a, const void *b)
{
    const placed *p = a;
    const placed *q = b;
    if (p->from_um < q->from_um || p->from_um > q->from_um)
        return p->from_um < q->from_um ? -1 : 1;
    return p->row < q->row ? -1 : p->row > q->row;
}

static lev_status prepare_band(const lev_card_chart_band *band, band_view *out,
                               lev_arena *arena, lev_error *err)
{
    lev_status st = LEV_OK;
    void *room = NULL;
    if (band->rows < 1 || band->rows > ROWS_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "%td grits in one band, 1 to %d fit",
                         band->rows, ROWS_MAX));
    LEV_TRY(lev_arena_new(arena, (size_t)band->rows, sizeof(placed), &room, err));
    out->band = band;
    out->item = room;
    for (ptrdiff_t i = 0; i < band->rows; i++)
        LEV_TRY(place_row(&band->row[i], &out->item[i], err));
    qsort(out->item, (size_t)band->rows, sizeof(placed), by_size);
out:
    return st;
}

/* Ends of the axis from the rows, with a little air. */
static void set_axis(chart_view *v)
{
    lev_card_axis *x = &v->plot.x;
    *x = (lev_card_axis){WORD_AXIS, v->chart->from_um, v->chart->to_um, true};
    if (x->from > 0.0 && x->to > x->from)
        return;
    x->from = HUGE_VAL;
    x->to = 0.0;
    for (ptrdiff_t b = 0; b < v->chart->bands; b++)
        for (ptrdiff_t i = 0; i < v->band[b].band->rows; i++) {
            if (v->band[b].item[i].from_um > 0.0)
                x->from = fmin(x->from, v->band[b].item[i].from_um);
            x->to = fmax(x->to, v->band[b].item[i].to_um);
        }
    x->from *= 0.8;
    x->to *= 1.35; /* the label of the coarsest stands right of its bar */
}

static lev_status prepare(const lev_card_chart *chart, chart_view *v, lev_arena *arena,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    void *room = NULL;
    if (chart->bands < 1 || chart->bands > BANDS_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "%td bands on a chart, 1 to %d fit",
                         chart->bands, BANDS_MAX));
    if (chart->marks < 0 || chart->marks > MARKS_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "%td likenesses on a chart, at most %d fit",
                         chart->marks, MARKS_MAX));
    LEV_TRY(lev_arena_new(arena, (size_t)chart->bands, sizeof(band_view), &room, err));
    v->chart = chart;
    v->band = room;
    for (ptrdiff_t i = 0; i < chart->bands; i++)
        LEV_TRY(prepare_band(&chart->band[i], &v->band[i], arena, err));
    set_axis(v);
out:
    return st;
}

/* ---- packing ---- */

/* System in bold unless it goes on from above, method below it; returns the height. */
static double draw_names(card_flow *f, const lev_card_chart_band *band, double y_mm,
                         bool goes_on)
{
    const lev_type name = {.size_pt = 11.0, .bold = true, .width_mm = NAME_MM - 4.0};
    const lev_type method = {.size_pt = 9.0, .width_mm = NAME_MM - 4.0};
    double h_mm = 0.0;
    if (!goes_on)
        h_mm = lev_canvas_text(f->c, f->left_mm, y_mm, &name, NULL, band->system);
    return h_mm +
           lev_canvas_text(f->c, f->left_mm, y_mm + h_mm, &method, NULL, band->method);
}

static bool is_same_system(const lev_card_chart_band *a, const lev_card_chart_band *b)
{
    return a->system != NULL && b->system != NULL && strcmp(a->system, b->system) == 0;
}

static void measure_names(card_flow *f, chart_view *v)
{
    lev_canvas_mute(f->c);
    for (ptrdiff_t b = 0; b < v->chart->bands; b++) {
        band_view *band = &v->band[b];
        band->name_mm = draw_names(f, band->band, 0.0, false);
        band->short_mm = draw_names(f, band->band, 0.0, true);
        band->goes_on = b > 0 && is_same_system(band->band, band[-1].band);
    }
    lev_canvas_unmute(f->c);
}

static void measure_labels(card_flow *f, chart_view *v)
{
    const lev_type type = {.size_pt = SAMPLE_PT};
    double h_mm = 0.0;
    for (ptrdiff_t b = 0; b < v->chart->bands; b++)
        for (ptrdiff_t i = 0; i < v->band[b].band->rows; i++) {
            placed *p = &v->band[b].item[i];
            lev_canvas_text_size(f->c, &type, NULL, p->row->label, &p->label_mm, &h_mm);
        }
}

/* Rows that a band needs; 0 when more than may be. */
static int pack_band(const chart_view *v, band_view *band, double row_mm)
{
    double free_mm[LANES_MAX] = {0.0};
    const double scale = label_pt(row_mm) / SAMPLE_PT;
    band->lanes = 0;
    for (ptrdiff_t i = 0; i < band->band->rows; i++) {
        placed *p = &band->item[i];
        const double left_mm =
            fmax(lev_plot_x(&v->plot, p->from_um), v->plot.area.x_mm) - 0.6;
        int lane = 0;
        while (lane < LANES_MAX && free_mm[lane] > left_mm)
            lane++;
        if (lane == LANES_MAX)
            return 0;
        p->lane = lane;
        free_mm[lane] =
            lev_plot_x(&v->plot, p->to_um) + LABEL_GAP_MM + p->label_mm * scale + 1.8;
        if (lane + 1 > band->lanes)
            band->lanes = lane + 1;
    }
    return band->lanes;
}

/* first: it is the first band of its page and bears its full name. */
static double band_height(const band_view *band, double row_mm, bool first)
{
    const double name_mm = band->goes_on && !first ? band->short_mm : band->name_mm;
    return fmax(band->lanes * row_mm, name_mm) + BAND_GAP_MM;
}

/* Pages that all bands need at one row height; 0 when one cannot be packed or is higher
 * than a page. */
static int count_pages(chart_view *v, double row_mm, double room_mm)
{
    int pages = 1;
    double used_mm = 0.0;
    for (ptrdiff_t b = 0; b < v->chart->bands; b++) {
        if (pack_band(v, &v->band[b], row_mm) == 0)
            return 0;
        const double full_mm = band_height(&v->band[b], row_mm, true);
        const double h_mm = band_height(&v->band[b], row_mm, b == 0);
        if (full_mm > room_mm)
            return 0;
        if (used_mm + h_mm > room_mm) {
            pages++;
            used_mm = full_mm;
        } else {
            used_mm += h_mm;
        }
    }
    return pages;
}

static void choose_row_height(card_flow *f, chart_view *v, double room_mm)
{
    const int least = count_pages(v, ROW_LEAST_MM, room_mm);
    double row_mm = ROW_MOST_MM;
    int pages = least == 0 ? 0 : count_pages(v, row_mm, room_mm);
    if (least == 0)
        lev_canvas_fail(f->c, LEV_E_LIMIT,
                        "a band of the chart has more grits than the page is high; "
                        "larger paper would do");
    while (pages != least && row_mm > ROW_LEAST_MM) {
        row_mm = fmax(row_mm - 0.1, ROW_LEAST_MM);
        pages = count_pages(v, row_mm, room_mm);
    }
    v->row_mm = row_mm;
}

/* Likenesses over the bars, each in the lowest row where its name is free. */
static void pack_marks(card_flow *f, chart_view *v)
{
    double free_mm[MARKS_MAX] = {0.0};
    const lev_type type = {.size_pt = SAMPLE_PT};
    v->mark_rows = 0;
    for (ptrdiff_t i = 0; i < v->chart->marks; i++) {
        double w_mm = 0.0;
        double h_mm = 0.0;
        int row = 0;
        const lev_card_chart_mark *m = &v->chart->mark[i];
        lev_canvas_text_size(f->c, &type, NULL, m->text, &w_mm, &h_mm);
        while (row + 1 < MARKS_MAX && free_mm[row] > lev_plot_x(&v->plot, m->from_um))
            row++;
        v->mark_row[i] = row;
        free_mm[row] = lev_plot_x(&v->plot, m->to_um) + w_mm + 4.0;
        if (row + 1 > v->mark_rows)
            v->mark_rows = row + 1;
    }
}

/* ---- drawing ---- */

static double mark_top(const chart_view *v, ptrdiff_t i)
{
    return v->plot.area.y_mm - 9.0 - MARK_ROW_MM * (v->mark_row[i] + 1);
}

static void draw_mark_lines(card_flow *f, const chart_view *v, ptrdiff_t i)
{
    const lev_card_chart_mark *m = &v->chart->mark[i];
    const bool is_line = !(m->to_um > m->from_um);
    const double foot_mm = v->plot.area.y_mm + v->plot.area.h_mm;
    const double top_mm = mark_top(v, i) + 0.8;
    const double end[] = {lev_plot_x(&v->plot, m->from_um),
                          lev_plot_x(&v->plot, m->to_um)};
    for (int k = 0; k < (is_line ? 1 : 2); k++)
        lev_canvas_line(f->c, (lev_point){end[k], top_mm}, (lev_point){end[k], foot_mm},
                        is_line ? (lev_pen){.width_mm = 0.45}
                                : (lev_pen){.width_mm = 0.3, .dash_mm = 1.6});
}

/* Over the lines: the name on white, and a hatched strip for a likeness with width. */
static void draw_mark_name(card_flow *f, const chart_view *v, ptrdiff_t i)
{
    const lev_card_chart_mark *m = &v->chart->mark[i];
    const lev_type type = {.size_pt = SAMPLE_PT};
    const double left_mm = lev_plot_x(&v->plot, m->from_um);
    const double right_mm = lev_plot_x(&v->plot, m->to_um);
    const double top_mm = mark_top(v, i);
    double w_mm = 0.0;
    double h_mm = 0.0;
    lev_canvas_text_size(f->c, &type, NULL, m->text, &w_mm, &h_mm);
    lev_canvas_fill_rect(f->c, (lev_rect){right_mm + 0.7, top_mm, w_mm + 1.0, h_mm},
                         LEV_FILL_WHITE);
    lev_canvas_text(f->c, right_mm + 1.2, top_mm, &type, NULL, m->text);
    if (right_mm > left_mm)
        lev_canvas_fill_rect(f->c,
                             (lev_rect){left_mm, top_mm + 0.8, right_mm - left_mm, 2.6},
                             LEV_FILL_HATCH);
}

/* The median: a tick in a gap of the bar; alone and from memory, a hollow one. */
static void draw_median(card_flow *f, const chart_view *v, const placed *p,
                        double mid_mm)
{
    const double x = lev_plot_x(&v->plot, p->row->d50_um);
    const double half_mm = v->row_mm * 0.4;
    const double bar_mm = v->row_mm * 0.46;
    const bool alone = !(p->to_um > p->from_um);
    const lev_rect box = {x - 0.55, mid_mm - half_mm, 1.1, 2.0 * half_mm};
    if (alone && p->row->from_memory) {
        lev_canvas_fill_rect(f->c, box, LEV_FILL_WHITE);
        lev_canvas_rect(f->c, box, (lev_pen){.width_mm = 0.25});
        return;
    }
    if (!alone)
        lev_canvas_fill_rect(
            f->c, (lev_rect){x - 0.9, mid_mm - bar_mm / 2.0 - 0.2, 1.8, bar_mm + 0.4},
            LEV_FILL_WHITE);
    lev_canvas_line(f->c, (lev_point){x, mid_mm - half_mm},
                    (lev_point){x, mid_mm + half_mm}, (lev_pen){.width_mm = 0.8});
}

static void draw_bar(card_flow *f, const chart_view *v, const placed *p, double top_mm)
{
    const double mid_mm = top_mm + v->row_mm * (p->lane + 0.5);
    const double bar_mm = v->row_mm * 0.46;
    const lev_type type = {.size_pt = label_pt(v->row_mm)};
    double w_mm = 0.0;
    double h_mm = 0.0;
    lev_plot_bar(&v->plot, p->from_um, p->to_um, mid_mm, bar_mm,
                 p->row->from_memory ? LEV_FILL_HATCH : LEV_FILL_SOLID);
    if (!isnan(p->row->d50_um))
        draw_median(f, v, p, mid_mm);
    lev_canvas_text_size(f->c, &type, NULL, p->row->label, &w_mm, &h_mm);
    const double text_x_mm = lev_plot_x(&v->plot, p->to_um) + LABEL_GAP_MM;
    lev_canvas_fill_rect(
        f->c,
        (lev_rect){text_x_mm - 0.2, mid_mm - h_mm * 0.36, w_mm + 0.5, h_mm * 0.72},
        LEV_FILL_WHITE);
    lev_canvas_text(f->c, text_x_mm, mid_mm - h_mm / 2.0, &type, NULL, p->row->label);
}

static void draw_band(card_flow *f, const chart_view *v, const band_view *band,
                      double top_mm, bool first)
{
    const double inner_mm = top_mm + BAND_GAP_MM / 2.0;
    const bool goes_on = band->goes_on && !first;
    const double left_mm = goes_on ? v->plot.area.x_mm : f->left_mm;
    draw_names(f, band->band, inner_mm, goes_on);
    for (ptrdiff_t i = 0; i < band->band->rows; i++)
        draw_bar(f, v, &band->item[i], inner_mm);
    if (!first)
        lev_canvas_line(f->c, (lev_point){left_mm, top_mm},
                        (lev_point){f->right_mm, top_mm},
                        (lev_pen){.width_mm = goes_on ? 0.2 : 0.4});
}

/* Grid, axes at both ends, likenesses: all that lies behind the bars of one page. */
static void draw_ground(card_flow *f, chart_view *v)
{
    double tick[LEV_PLOT_TICKS];
    const lev_rect area = v->plot.area;
    const lev_type word = {.size_pt = 11.0, .bold = true};
    const lev_type right = {.size_pt = 11.0, .bold = true, .align = LEV_ALIGN_RIGHT};
    const int n = lev_plot_ticks(&v->plot.x, 0, tick);
    for (int i = 0; i < n; i++)
        lev_canvas_line(
            f->c, (lev_point){lev_plot_x(&v->plot, tick[i]), area.y_mm},
            (lev_point){lev_plot_x(&v->plot, tick[i]), area.y_mm + area.h_mm},
            (lev_pen){.width_mm = 0.12, .ink = LEV_CANVAS_INK_MIN});
    for (ptrdiff_t i = 0; i < v->chart->marks; i++)
        draw_mark_lines(f, v, i);
    for (ptrdiff_t i = 0; i < v->chart->marks; i++)
        draw_mark_name(f, v, i);
    lev_plot_x_axis(&v->plot, area.y_mm, true);
    lev_plot_x_axis(&v->plot, area.y_mm + area.h_mm, false);
    const double y = area.y_mm - 7.2;
    lev_canvas_text(f->c, f->left_mm, y, &word, NULL, WORD_AXIS);
    lev_canvas_text(f->c, f->left_mm, area.y_mm + area.h_mm + 1.5, &word, NULL,
                    WORD_AXIS);
    lev_canvas_text(f->c, f->right_mm, y - MARK_ROW_MM, &right, NULL,
                    WORD_COARSER " \xE2\x86\x92");
    lev_canvas_text(f->c, f->left_mm + NAME_MM, y - MARK_ROW_MM, &word, NULL,
                    "\xE2\x86\x90 " WORD_FINER);
}

/* A sample bar or tick with its meaning; returns the right end. */
static double draw_sample(card_flow *f, double x_mm, double y_mm, lev_fill_kind fill,
                          bool bar, bool tick, const char *text)
{
    double w_mm = 0.0;
    double h_mm = 0.0;
    const lev_type type = {.size_pt = SAMPLE_PT};
    const lev_rect r = {x_mm, y_mm + 1.0, 14.0, 2.4};
    if (bar) {
        lev_canvas_fill_rect(f->c, r, fill);
        lev_canvas_rect(f->c, r, (lev_pen){.width_mm = 0.25});
    }
    if (bar && tick)
        lev_canvas_fill_rect(f->c, (lev_rect){x_mm + 6.25, y_mm + 0.8, 1.5, 2.8},
                             LEV_FILL_WHITE);
    if (tick)
        lev_canvas_line(f->c, (lev_point){x_mm + 7.0, y_mm},
                        (lev_point){x_mm + 7.0, y_mm + 4.4},
                        (lev_pen){.width_mm = 0.8});
    lev_canvas_text_size(f->c, &type, NULL, text, &w_mm, &h_mm);
    lev_canvas_text(f->c, x_mm + 16.5, y_mm, &type, NULL, text);
    return x_mm + 16.5 + w_mm + 9.0;
}

static void draw_legend(card_flow *f, const chart_view *v, double y_mm)
{
    const lev_type fine = {.size_pt = CARD_SMALL_PT + 0.5,
                           .width_mm = card_flow_width(f)};
    double x = f->left_mm;
    double y = y_mm;
    x = draw_sample(f, x, y, LEV_FILL_SOLID, true, false, WORD_KEY_BAR);
    draw_sample(f, x, y, LEV_FILL_SOLID, true, true, WORD_KEY_TICK);
    y += 6.0;
    x = draw_sample(f, f->left_mm, y, LEV_FILL_SOLID, false, true, WORD_KEY_ALONE);
    x = draw_sample(f, x, y, LEV_FILL_SOLID, true, false, WORD_KEY_OPEN);
    draw_sample(f, x, y, LEV_FILL_HATCH, true, false, WORD_KEY_HATCH);
    lev_canvas_text(f->c, f->left_mm, y + 6.5, &fine, NULL, v->chart->foot);
}

static void chart_frame(card_flow *f)
{
    const chart_view *v = f->view;
    const lev_card_head *head = &v->chart->head;
    char page[40];
    const lev_type title = {.size_pt = 30.0, .bold = true};
    const lev_type sub = {.size_pt = 14.0};
    const lev_type aside = {.size_pt = SAMPLE_PT, .align = LEV_ALIGN_RIGHT};
    double y = EDGE_MM;

    card_page_number(f, page);
    lev_canvas_text(f->c, f->right_mm, y + 1.0, &aside, NULL, page);
    lev_canvas_text(f->c, f->right_mm, y + 6.0, &aside, NULL, head->date);
    lev_canvas_text(f->c, f->right_mm, y + 11.0, &aside, NULL, head->version);
    y += lev_canvas_text(f->c, f->left_mm, y, &title, NULL, head->title);
    y += lev_canvas_text(f->c, f->left_mm, y, &sub, NULL, v->chart->subtitle);
    f->top_mm = y + 10.0 + MARK_ROW_MM * (v->mark_rows + 1);
    f->bottom_mm = f->height_mm - EDGE_MM - LEGEND_MM - 10.0;
}

/* The first band that no longer fits on the page begun at `from`. */
static ptrdiff_t page_end(card_flow *f, const chart_view *v, ptrdiff_t from,
                          double *used_mm)
{
    ptrdiff_t b = from;
    *used_mm = 0.0;
    while (b < v->chart->bands) {
        const double h_mm = band_height(&v->band[b], v->row_mm, b == from);
        if (f->top_mm + *used_mm + h_mm > f->bottom_mm + 0.01)
            break;
        *used_mm += h_mm;
        b++;
    }
    return b;
}

static void chart_page(card_flow *f, chart_view *v, ptrdiff_t from, ptrdiff_t to,
                       double used_mm)
{
    double y = f->top_mm;
    v->plot.area = (lev_rect){f->left_mm + NAME_MM, f->top_mm,
                              card_flow_width(f) - NAME_MM, used_mm};
    draw_ground(f, v);
    for (ptrdiff_t b = from; b < to; b++) {
        draw_band(f, v, &v->band[b], y, b == from);
        y += band_height(&v->band[b], v->row_mm, b == from);
    }
    draw_legend(f, v, y + 11.0);
}

static void lay_chart(card_flow *f, const void *view)
{
    chart_view v = *(const chart_view *)view;
    f->view = &v;
    f->frame = chart_frame;
    f->left_mm = EDGE_MM;
    f->right_mm = f->width_mm - EDGE_MM;
    v.plot.c = f->c;
    v.plot.size_pt = 11.0;
    v.plot.area.x_mm = f->left_mm + NAME_MM;
    v.plot.area.w_mm = card_flow_width(f) - NAME_MM;
    measure_labels(f, &v);
    measure_names(f, &v);
    pack_marks(f, &v);
    card_flow_page(f);
    choose_row_height(f, &v, f->bottom_mm - f->top_mm);
    for (ptrdiff_t b = 0; b < v.chart->bands;) {
        double used_mm = 0.0;
        const ptrdiff_t end = page_end(f, &v, b, &used_mm);
        if (end == b) {
            lev_canvas_fail(f->c, LEV_E_LIMIT,
                            "band \"%.40s\" is higher than the page; larger paper "
                            "would do",
                            v.band[b].band->system);
            return;
        }
        chart_page(f, &v, b, end, used_mm);
        b = end;
        if (b < v.chart->bands)
            card_flow_page(f);
    }
}

lev_status card_chart(const lev_card_chart *chart, const lev_card_out *to,
                      lev_error *err)
{
    lev_status st = LEV_OK;
    lev_arena arena = {0};
    chart_view v = {0};
    LEV_TRY(prepare(chart, &v, &arena, err));
    LEV_TRY(card_print(lay_chart, &v, &chart->head, to, err));
out:
    lev_arena_release(&arena);
    return st;
}
