/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Worksheets and keys: headings with a paragraph each, then a table to be filled in by
 * pencil. A worksheet is printed once a pupil, numbered; no place for a name. */
#include <math.h>
#include <stdio.h>

#include "card_job.h"
#include "card_words.h"

static const double EDGE_MM = 18.0;
static const double ROW_MM = 11.0;
static const double HEAD_MM = 9.0;

enum { COPIES_MAX = 200, ROWS_MAX = 200, COLUMNS_MAX = 12 };

/* What the frame and the blocks are drawn from. */
typedef struct sheet_view {
    const lev_card_sheet *v;
    int copy;
} sheet_view;

typedef struct sheet_row {
    const lev_card_sheet *v;
    ptrdiff_t row; /* -1: the names of the columns */
} sheet_row;

static void sheet_frame(card_flow *f)
{
    const sheet_view *s = f->view;
    char page[40], number[40];
    const lev_type title = {
        .size_pt = 20.0, .bold = true, .width_mm = f->width_mm - 2.0 * EDGE_MM - 45.0};
    const lev_type aside = {.size_pt = 9.0, .align = LEV_ALIGN_RIGHT};
    const lev_type large = {.size_pt = 20.0, .bold = true, .align = LEV_ALIGN_RIGHT};
    f->left_mm = EDGE_MM;
    f->right_mm = f->width_mm - EDGE_MM;
    f->bottom_mm = f->height_mm - EDGE_MM - 4.0;
    card_page_number(f, page);
    if (s->v->copies > 0) {
        (void)snprintf(number, sizeof number, WORD_SHEET, s->copy);
        lev_canvas_text(f->c, f->right_mm, 12.0, &large, NULL, number);
    }
    const double h_mm =
        lev_canvas_text(f->c, f->left_mm, 12.0, &title, NULL, s->v->head.title);
    f->top_mm = 12.0 + fmax(h_mm, 9.0) + 5.0;
    lev_canvas_line(f->c, (lev_point){f->left_mm, f->top_mm - 3.0},
                    (lev_point){f->right_mm, f->top_mm - 3.0},
                    (lev_pen){.width_mm = 0.6});
    const double foot_mm = f->height_mm - EDGE_MM + 1.0;
    const lev_type left = {.size_pt = 9.0};
    lev_canvas_text(f->c, f->left_mm, foot_mm, &left, NULL, s->v->foot);
    lev_canvas_text(f->c, f->right_mm, foot_mm, &aside, s->v->head.date, page);
}

static double section_block(card_flow *f, const void *what)
{
    const lev_card_section *s = what;
    const lev_type head = {.size_pt = 13.0, .bold = true};
    const double h_mm =
        lev_canvas_text(f->c, f->left_mm, f->y_mm, &head, NULL, s->head);
    const double text_mm = card_para(f, f->left_mm, f->y_mm + h_mm + 0.8,
                                     card_flow_width(f), 12.0, NULL, s->text);
    return h_mm + text_mm + 4.5;
}

static double row_block(card_flow *f, const void *what)
{
    const sheet_row *r = what;
    const lev_card_sheet *v = r->v;
    const bool head = r->row < 0;
    const double h_mm = head ? HEAD_MM : ROW_MM;
    const double w_mm = card_flow_width(f) / (double)v->columns;
    for (ptrdiff_t k = 0; k < v->columns; k++) {
        const lev_rect box = {f->left_mm + w_mm * (double)k, f->y_mm, w_mm, h_mm};
        const char *text = head ? v->column[k] : v->cell[r->row * v->columns + k];
        const lev_type type = {.size_pt = head ? 9.5 : 12.0,
                               .bold = head || k == 0,
                               .width_mm = w_mm - 3.0};
        double text_w_mm = 0.0, text_h_mm = 0.0;
        lev_canvas_rect(f->c, box, (lev_pen){.width_mm = head ? 0.5 : 0.25});
        if (!card_has(text))
            continue;
        lev_canvas_text_size(f->c, &type, NULL, text, &text_w_mm, &text_h_mm);
        if (text_h_mm > h_mm)
            lev_canvas_fail(f->c, LEV_E_LIMIT,
                            "\"%.40s\" does not fit a cell of %.0f x %.0f mm", text,
                            w_mm, h_mm);
        lev_canvas_text(f->c, box.x_mm + 1.5, box.y_mm + (h_mm - text_h_mm) / 2.0,
                        &type, NULL, text);
    }
    return h_mm;
}

static void lay_sheet(card_flow *f, const void *view)
{
    sheet_view s = {.v = view, .copy = 1};
    f->view = &s;
    f->frame = sheet_frame;
    do {
        card_flow_page(f);
        for (ptrdiff_t i = 0; i < s.v->sections; i++)
            card_flow_block(f, section_block, &s.v->section[i]);
        for (ptrdiff_t i = -1; i < s.v->rows; i++)
            card_flow_block(f, row_block, &(sheet_row){s.v, i});
    } while (s.copy++ < s.v->copies);
    f->view = view;
}

lev_status card_sheet(const lev_card_sheet *v, const lev_card_out *to, lev_error *err)
{
    if (v->copies < 0 || v->copies > COPIES_MAX || v->rows < 0 || v->rows > ROWS_MAX ||
        v->columns < 1 || v->columns > COLUMNS_MAX)
        return lev_fail(err, LEV_E_LIMIT,
                        "%d sheets of %td rows and %td columns; at most %d, %d and %d "
                        "can be printed",
                        v->copies, v->rows, v->columns, COPIES_MAX, ROWS_MAX,
                        COLUMNS_MAX);
    return card_print(lay_sheet, v, &v->head, to, err);
}
