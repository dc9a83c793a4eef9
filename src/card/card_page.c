/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The flow of blocks down the pages. See card_page.h. */
#include "card_page.h"

#include <stdio.h>

#include "card_words.h"

double card_flow_width(const card_flow *f)
{
    return f->right_mm - f->left_mm;
}

void card_flow_page(card_flow *f)
{
    f->page++;
    lev_canvas_page(f->c);
    f->frame(f);
    f->y_mm = f->top_mm;
}

void card_flow_need(card_flow *f, double mm)
{
    if (f->y_mm + mm > f->bottom_mm)
        card_flow_page(f);
}

void card_flow_block(card_flow *f, card_block_fn draw, const void *what)
{
    lev_canvas_mute(f->c);
    const double height_mm = draw(f, what);
    lev_canvas_unmute(f->c);
    if (height_mm > f->bottom_mm - f->top_mm) {
        lev_canvas_fail(f->c, LEV_E_LIMIT,
                        "a part of the card is %.0f mm high and fits no page; shorter "
                        "texts or larger paper would do",
                        height_mm);
        return;
    }
    if (f->y_mm + height_mm > f->bottom_mm + 0.01)
        card_flow_page(f);
    f->y_mm += draw(f, what);
}

double card_para(card_flow *f, double x_mm, double y_mm, double width_mm,
                 double size_pt, const char *lead, const char *text)
{
    const lev_type type = {.size_pt = size_pt, .width_mm = width_mm};
    return lev_canvas_text(f->c, x_mm, y_mm, &type, lead, text);
}

void card_page_number(const card_flow *f, char out[40])
{
    (void)snprintf(out, 40, WORD_PAGE, f->page, f->pages > 0 ? f->pages : f->page);
}

static lev_status run(card_layout_fn layout, const void *view,
                      const lev_canvas_spec *spec, int *pages, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_canvas *c = NULL;

    LEV_TRY(lev_canvas_new(spec, &c, err));
    card_flow f = {.c = c, .view = view, .pages = *pages};
    f.width_mm = spec->width_mm;
    f.height_mm = spec->height_mm;
    layout(&f, view);
    *pages = f.page;
    LEV_TRY(lev_canvas_finish(c, err));
out:
    lev_canvas_free(c);
    return st;
}

lev_status card_print(card_layout_fn layout, const void *view,
                      const lev_card_head *head, const lev_card_out *out,
                      lev_error *err)
{
    lev_status st = LEV_OK;
    int pages = 0;
    lev_canvas_spec spec = {.head = *head, .out = *out, .dry = true};

    LEV_TRY(lev_canvas_paper(head->paper, &spec.width_mm, &spec.height_mm, err));
    LEV_TRY(run(layout, view, &spec, &pages, err));
    spec.dry = false;
    spec.pages = pages;
    LEV_TRY(run(layout, view, &spec, &pages, err));
out:
    return st;
}
