/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Our test card, 100 x 75 mm: type of five sizes, a grid, a slanted edge, colour
 * patches and a grey scale; and the strip of pictures of a ladder. */
#include "optics_draw.h"

#include <math.h>
#include <string.h>

static const double card_width_mm = 100.0;
static const double card_height_mm = 75.0;
static const float black[3] = {0.02F, 0.02F,
                               0.02F}; /* printer's black gives back 2 % */
static const float white[3] = {1.0F, 1.0F, 1.0F};

static void draw_type(lev_picture *p)
{
    static const struct {
        const char *text;
        double y, height;
    } lines[] = {
        {"FACE", 15.0, 10.0},
        {"STEEL 6", 26.0, 6.0},
        {"BRASS AND 4", 34.0, 4.0},
        {"WALNUT UNDER 3", 40.5, 3.0},
        {"READ THIS LINE AT 2", 45.5, 2.0},
    };
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        lev_picture_text(p, lines[i].text, 4.0, lines[i].y, lines[i].height, black);
}

/* Ten squares of 2.4 mm, lines of 0.4 mm. */
static void draw_grid(lev_picture *p)
{
    const double pitch = 2.4;
    const double line = 0.4;
    const double x0 = 70.0;
    const double y0 = 24.0;
    const double side = 10.0 * pitch + line;
    for (int i = 0; i <= 10; i++) {
        lev_draw_box(p, (lev_box_mm){x0 + pitch * i, y0, line, side}, black);
        lev_draw_box(p, (lev_box_mm){x0, y0 + pitch * i, side, line}, black);
    }
}

static void draw_patches(lev_picture *p)
{
    static const float patch[8][3] = {{0.60F, 0.03F, 0.03F}, {0.75F, 0.25F, 0.02F},
                                      {0.80F, 0.65F, 0.03F}, {0.06F, 0.35F, 0.08F},
                                      {0.04F, 0.35F, 0.45F}, {0.03F, 0.07F, 0.45F},
                                      {0.30F, 0.04F, 0.35F}, {0.02F, 0.02F, 0.02F}};
    for (int i = 0; i < 8; i++) {
        const float grey = (float)(i + 1) / 9.0F;
        const float level[3] = {grey, grey, grey};
        const double x = 4.0 + 11.5 * i;
        lev_draw_box(p, (lev_box_mm){x, 52.0, 11.5, 12.0}, patch[i]);
        lev_draw_box(p, (lev_box_mm){x, 65.0, 11.5, 6.0}, level);
    }
}

lev_status lev_optics_card(ptrdiff_t nx, lev_picture *out, lev_error *err)
{
    lev_status st;
    lev_picture p = {0};
    if (nx < 160 || nx > 4096)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "a card %td points wide; 160 to 4096", nx));
    const double pitch = card_width_mm / (double)nx;
    const ptrdiff_t ny = (ptrdiff_t)lrint(card_height_mm / pitch);
    LEV_TRY(lev_picture_new(nx, ny, pitch, 1.0F, &p, err));
    draw_type(&p);
    draw_grid(&p);
    lev_draw_slant(&p, (lev_box_mm){70.0, 4.0, 24.4, 16.0}, 0.0873, black); /* 5 deg */
    draw_patches(&p);
    *out = p;
out:
    return st;
}

/* ---- strip ---- */

static void copy_panel(const lev_picture *from, lev_picture *to, ptrdiff_t x,
                       ptrdiff_t y)
{
    for (ptrdiff_t j = 0; j < from->ny; j++)
        memcpy(to->rgb + 3 * ((y + j) * to->nx + x), from->rgb + 3 * j * from->nx,
               (size_t)from->nx * 3 * sizeof(float));
}

/* One line in the middle of its panel, as large as that allows, to a most. */
static void draw_line(lev_picture *p, const char *text, double x, double y, double w,
                      double most)
{
    const double wide = lev_picture_text_mm(text, 1.0);
    const double height = wide > 0.0 ? fmin(most, w / wide) : 0.0;
    lev_picture_text(p, text, x + (w - height * wide) / 2.0, y, height, black);
}

/* The blank nearest to the middle; NULL: one word. */
static const char *middle_blank(const char *text)
{
    const double middle = (double)strlen(text) / 2.0;
    const char *best = NULL;
    for (const char *s = text; *s != '\0'; s++)
        if (*s == ' ' && (best == NULL || fabs((double)(s - text) - middle) <
                                              fabs((double)(best - text) - middle)))
            best = s;
    return best;
}

/* The caption; one too long to be read goes on two lines. y: the base of one line. */
static void draw_caption(lev_picture *p, const char *text, double x, double y, double w)
{
    const double most = 5.0;
    const double least = 3.2; /* and the size of two lines */
    const char *const blank = middle_blank(text);
    char first[64];
    if (blank == NULL || lev_picture_text_mm(text, least) <= w ||
        (size_t)(blank - text) >= sizeof first) {
        draw_line(p, text, x, y, w, most);
        return;
    }
    memcpy(first, text, (size_t)(blank - text));
    first[blank - text] = '\0';
    draw_line(p, first, x, y - 3.1, w, least);
    draw_line(p, blank + 1, x, y + 1.8, w, least);
}

/* The title from the left, as large as the strip allows. */
static void draw_title(lev_picture *p, const char *text)
{
    const double w = p->pitch_mm * (double)p->nx - 4.0;
    const double wide = lev_picture_text_mm(text, 1.0);
    lev_picture_text(p, text, 2.0, 8.0, wide > 0.0 ? fmin(6.0, w / wide) : 0.0, black);
}

lev_status lev_optics_strip(const lev_picture *panels, const char *const *captions,
                            ptrdiff_t n, const char *title, lev_picture *out,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_picture p = {0};
    if (n < 1 || n > 64)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "a strip of %td pictures; 1 to 64", n));
    for (ptrdiff_t k = 1; k < n; k++)
        if (panels[k].nx != panels[0].nx || panels[k].ny != panels[0].ny)
            LEV_TRY(lev_fail(
                err, LEV_E_RANGE,
                "picture %td of the strip differs in size; one size for all", k + 1));
    const double pitch = panels[0].pitch_mm;
    const ptrdiff_t gap = (ptrdiff_t)lrint(2.0 / pitch);
    const ptrdiff_t foot = (ptrdiff_t)lrint(9.0 / pitch);
    const ptrdiff_t top = title != NULL ? gap + (ptrdiff_t)lrint(8.0 / pitch) : gap;
    LEV_TRY(lev_picture_new(gap + n * (panels[0].nx + gap), top + panels[0].ny + foot,
                            pitch, white[0], &p, err));
    if (title != NULL)
        draw_title(&p, title);
    for (ptrdiff_t k = 0; k < n; k++) {
        const ptrdiff_t x = gap + k * (panels[0].nx + gap);
        copy_panel(&panels[k], &p, x, top);
        draw_caption(&p, captions[k], pitch * (double)x,
                     pitch * (double)(top + panels[0].ny) + 7.0,
                     pitch * (double)panels[0].nx);
    }
    *out = p;
out:
    return st;
}
