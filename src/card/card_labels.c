/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sheets of drawer labels: the marking large, the true size below it, a QR square for
 * those who have a camera at hand. Cut along the thin lines. */
#include <math.h>
#include <qrencode.h>

#include "card_job.h"
#include "card_words.h"

static const double EDGE_MM = 12.0;
static const double PAD_MM = 2.5;

enum { LABELS_MAX = 5000 };

typedef struct label_grid {
    const lev_card_labels *v;
    double w_mm, h_mm;
    int columns, rows;
} label_grid;

static void draw_modules(lev_canvas *c, lev_rect square, const QRcode *code)
{
    const double side_mm = square.w_mm / (code->width + 8); /* four modules of quiet */
    for (int y = 0; y < code->width; y++) {
        int from = 0;
        for (int x = 0; x <= code->width; x++) {
            const bool dark =
                x < code->width && (code->data[y * code->width + x] & 1) != 0;
            if (dark)
                continue;
            if (x > from)
                lev_canvas_fill_rect(c,
                                     (lev_rect){square.x_mm + side_mm * (from + 4),
                                                square.y_mm + side_mm * (y + 4),
                                                side_mm * (x - from), side_mm},
                                     LEV_FILL_SOLID);
            from = x + 1;
        }
    }
}

static void draw_qr(lev_canvas *c, lev_rect square, const char *text)
{
    QRcode *code = QRcode_encodeString(text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
    if (code == NULL) {
        lev_canvas_fail(c, LEV_E_LIMIT, "text \"%.40s\" does not fit a QR square",
                        text);
        return;
    }
    draw_modules(c, square, code);
    QRcode_free(code);
}

static void draw_label(card_flow *f, lev_rect r, const lev_card_label *label)
{
    const bool qr = card_has(label->qr);
    const double qr_mm = qr ? fmin(r.h_mm, r.w_mm * 0.34) : 0.0;
    const double w_mm = r.w_mm - 2.0 * PAD_MM - qr_mm;
    const double x_mm = r.x_mm + PAD_MM;
    const lev_type name = {.size_pt = 20.0, .bold = true, .width_mm = w_mm};
    const lev_type size = {.size_pt = 14.0, .width_mm = w_mm};
    const lev_type text = {.size_pt = 8.0, .width_mm = w_mm};
    double y = r.y_mm + PAD_MM;
    lev_canvas_rect(f->c, r, (lev_pen){.width_mm = 0.2});
    lev_canvas_clip(f->c, r, false);
    y += lev_canvas_text(f->c, x_mm, y, &name, NULL, label->name);
    y += lev_canvas_text(f->c, x_mm, y, &size, NULL, label->size);
    y += lev_canvas_text(f->c, x_mm, y + 0.5, &text, NULL, label->text);
    if (qr)
        draw_qr(f->c,
                (lev_rect){r.x_mm + r.w_mm - qr_mm, r.y_mm + (r.h_mm - qr_mm) / 2.0,
                           qr_mm, qr_mm},
                label->qr);
    lev_canvas_unclip(f->c);
    if (y + 0.5 > r.y_mm + r.h_mm)
        lev_canvas_fail(f->c, LEV_E_LIMIT,
                        "label \"%.40s\" has more text than %g x %g mm hold",
                        label->name == NULL ? "" : label->name, r.w_mm, r.h_mm);
}

static void labels_frame(card_flow *f)
{
    const label_grid *g = f->view;
    char page[40];
    const lev_type left = {.size_pt = CARD_SMALL_PT};
    const lev_type right = {.size_pt = CARD_SMALL_PT, .align = LEV_ALIGN_RIGHT};
    card_page_number(f, page);
    lev_canvas_text(f->c, EDGE_MM, 5.0, &left, g->v->head.title, g->v->head.date);
    lev_canvas_text(f->c, f->width_mm - EDGE_MM, 5.0, &right, page, g->v->head.version);
}

static void lay_labels(card_flow *f, const void *view)
{
    const label_grid *g = view;
    const int each = g->columns * g->rows;
    f->frame = labels_frame;
    for (ptrdiff_t i = 0; i < g->v->labels; i++) {
        const int k = (int)(i % each);
        if (k == 0)
            card_flow_page(f);
        const int row = k / g->columns;
        const int column = k % g->columns;
        const lev_rect r = {EDGE_MM + g->w_mm * column, EDGE_MM + g->h_mm * row,
                            g->w_mm, g->h_mm};
        draw_label(f, r, &g->v->label[i]);
    }
}

lev_status card_labels(const lev_card_labels *v, const lev_card_out *to, lev_error *err)
{
    lev_status st = LEV_OK;
    double w_mm = 0.0;
    double h_mm = 0.0;
    label_grid g = {.v = v, .w_mm = 62.0, .h_mm = 32.0};

    LEV_TRY(lev_canvas_paper(v->head.paper, &w_mm, &h_mm, err));
    if (v->labels < 1 || v->labels > LABELS_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "%td labels, 1 to %d can be printed",
                         v->labels, LABELS_MAX));
    if (v->width_mm > 0.0)
        g.w_mm = v->width_mm;
    if (v->height_mm > 0.0)
        g.h_mm = v->height_mm;
    if (!(g.w_mm >= 25.0 && g.h_mm >= 15.0 && g.w_mm <= w_mm - 2.0 * EDGE_MM &&
          g.h_mm <= h_mm - 2.0 * EDGE_MM))
        LEV_TRY(
            lev_fail(err, LEV_E_RANGE,
                     "labels of %g x %g mm; from 25 x 15 mm up to the page would be "
                     "right",
                     g.w_mm, g.h_mm));
    g.columns = (int)((w_mm - 2.0 * EDGE_MM) / g.w_mm);
    g.rows = (int)((h_mm - 2.0 * EDGE_MM) / g.h_mm);
    LEV_TRY(card_print(lay_labels, &g, &v->head, to, err));
out:
    return st;
}
