/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The frame of a page and the flow of blocks down it. A job is laid out twice: once
 * muted, to learn the number of pages, once to draw. */
#ifndef CARD_PAGE_H
#define CARD_PAGE_H

#include "card_canvas.h"

typedef struct card_flow card_flow;

/* Draws the frame of a new page and sets the area left for the flow. */
typedef void (*card_frame_fn)(card_flow *f);

struct card_flow {
    lev_canvas *c;
    const void *view;          /* what the frame is drawn from */
    const lev_card_face *face; /* of the job card; else NULL */
    card_frame_fn frame;
    double left_mm, right_mm; /* text area */
    double top_mm, bottom_mm, y_mm;
    double width_mm, height_mm; /* page */
    int page, pages;            /* pages = 0 while they are counted */
    bool narrow;                /* small page: drawings below the text */
};

/* Draws one block at (left, f->y) and returns its height; must draw nothing else. */
typedef double (*card_block_fn)(card_flow *f, const void *what);

double card_flow_width(const card_flow *f);
/** The block on this page, or on the next when it does not fit here. */
void card_flow_block(card_flow *f, card_block_fn draw, const void *what);
void card_flow_page(card_flow *f);
/** A new page when less than this is left: keeps a heading with what follows. */
void card_flow_need(card_flow *f, double mm);

/** A paragraph over a width; returns its height. */
double card_para(card_flow *f, double x_mm, double y_mm, double width_mm,
                 double size_pt, const char *lead, const char *text);

/** "page n of m" of this page. */
void card_page_number(const card_flow *f, char out[40]);

static inline bool card_has(const char *s)
{
    return s != NULL && *s != '\0';
}

/* Lays a whole view out on a canvas through a flow. */
typedef void (*card_layout_fn)(card_flow *f, const void *view);

/** Count the pages with one dry run, then draw. */
lev_status card_print(card_layout_fn layout, const void *view,
                      const lev_card_head *head, const lev_card_out *out,
                      lev_error *err);

#endif
