/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Boxes, strokes and stroke letters. A letter stands on a grid of 5 x 5 strokes, like
 * the test types of ISO 8596: its stroke is a fifth of its height. */
#include "optics_draw.h"

#include <math.h>
#include <string.h>

#include "mem.h"

lev_status lev_picture_new(ptrdiff_t nx, ptrdiff_t ny, double pitch_mm, float level,
                           lev_picture *out, lev_error *err)
{
    lev_status st;
    void *rgb = NULL;
    LEV_TRY(lev_mem_new((size_t)nx * (size_t)ny, 3 * sizeof(float), &rgb, err));
    *out = (lev_picture){.nx = nx, .ny = ny, .pitch_mm = pitch_mm, .rgb = rgb};
    for (ptrdiff_t i = 0; i < 3 * nx * ny; i++)
        out->rgb[i] = level;
out:
    return st;
}

void lev_picture_release(lev_picture *p)
{
    if (p == NULL)
        return;
    lev_mem_free(p->rgb);
    *p = (lev_picture){0};
}

void lev_picture_code(const lev_picture *p, uint8_t *rgb8)
{
    for (ptrdiff_t i = 0; i < 3 * p->nx * p->ny; i++)
        rgb8[i] = lev_srgb_code((double)p->rgb[i]);
}

/* ---- shapes ---- */

static void blend(lev_picture *p, ptrdiff_t i, ptrdiff_t j, double cover,
                  const float rgb[3])
{
    float *const at = p->rgb + 3 * (j * p->nx + i);
    for (int c = 0; c < 3; c++)
        at[c] += (float)cover * (rgb[c] - at[c]);
}

/* The points a box of this shape touches. */
typedef struct span {
    ptrdiff_t i0, i1, j0, j1;
} span;

static ptrdiff_t clip(double x, ptrdiff_t n)
{
    return x < 0.0 ? 0 : x > (double)n ? n : (ptrdiff_t)x;
}

static span span_of(const lev_picture *p, lev_box_mm b)
{
    const double d = p->pitch_mm;
    return (span){
        clip(floor(b.x / d) - 1.0, p->nx), clip(ceil((b.x + b.w) / d) + 1.0, p->nx),
        clip(floor(b.y / d) - 1.0, p->ny), clip(ceil((b.y + b.h) / d) + 1.0, p->ny)};
}

/* Part of the point [i, i + 1] that lies between low and high. */
static double cover_1d(double low, double high, double i)
{
    const double a = fmax(low, i);
    const double b = fmin(high, i + 1.0);
    return b > a ? b - a : 0.0;
}

static double box_cover(const lev_picture *p, lev_box_mm b, ptrdiff_t i, ptrdiff_t j)
{
    const double d = p->pitch_mm;
    return cover_1d(b.x / d, (b.x + b.w) / d, (double)i) *
           cover_1d(b.y / d, (b.y + b.h) / d, (double)j);
}

void lev_draw_box(lev_picture *p, lev_box_mm b, const float rgb[3])
{
    const span s = span_of(p, b);
    for (ptrdiff_t j = s.j0; j < s.j1; j++)
        for (ptrdiff_t i = s.i0; i < s.i1; i++)
            blend(p, i, j, box_cover(p, b, i, j), rgb);
}

static double clamp01(double x)
{
    return x < 0.0 ? 0.0 : x > 1.0 ? 1.0 : x;
}

void lev_draw_slant(lev_picture *p, lev_box_mm b, double slant_rad, const float rgb[3])
{
    const span s = span_of(p, b);
    const double c = cos(slant_rad);
    const double t = sin(slant_rad);
    for (ptrdiff_t j = s.j0; j < s.j1; j++)
        for (ptrdiff_t i = s.i0; i < s.i1; i++) {
            const double x = ((double)i + 0.5) * p->pitch_mm - (b.x + b.w / 2.0);
            const double y = ((double)j + 0.5) * p->pitch_mm - (b.y + b.h / 2.0);
            const double right = clamp01(0.5 + (c * x + t * y) / p->pitch_mm);
            blend(p, i, j, right * box_cover(p, b, i, j), rgb);
        }
}

static double distance_to(lev_stroke_mm s, double x, double y)
{
    const double dx = s.x1 - s.x0;
    const double dy = s.y1 - s.y0;
    const double len2 = dx * dx + dy * dy;
    const double t =
        len2 > 0.0 ? clamp01(((x - s.x0) * dx + (y - s.y0) * dy) / len2) : 0.0;
    return hypot(x - s.x0 - t * dx, y - s.y0 - t * dy);
}

void lev_draw_stroke(lev_picture *p, lev_stroke_mm s, const float rgb[3])
{
    const double r = s.width / 2.0;
    const lev_box_mm b = {fmin(s.x0, s.x1) - r, fmin(s.y0, s.y1) - r,
                          fabs(s.x1 - s.x0) + s.width, fabs(s.y1 - s.y0) + s.width};
    const span n = span_of(p, b);
    for (ptrdiff_t j = n.j0; j < n.j1; j++)
        for (ptrdiff_t i = n.i0; i < n.i1; i++) {
            const double d = distance_to(s, ((double)i + 0.5) * p->pitch_mm,
                                         ((double)j + 0.5) * p->pitch_mm);
            const double cover = clamp01(0.5 + (r - d) / p->pitch_mm);
            if (cover > 0.0)
                blend(p, i, j, cover, rgb);
        }
}

/* ---- letters ---- */

/* Strokes of each letter: points as two digits (x right, y up, 0..4), strokes joined
 * until a blank. */
typedef struct glyph {
    char name;
    const char *path;
} glyph;

static const glyph glyphs[] = {
    {'A', "0002244240 0141"},
    {'B', "000434433202 32413000"},
    {'C', "4334140301103041"},
    {'D', "00042443412000"},
    {'E', "44040040 0232"},
    {'F', "440400 0232"},
    {'G', "43341403011030414222"},
    {'H', "0004 4044 0242"},
    {'I', "2024 1030 1434"},
    {'J', "4441301001"},
    {'K', "0004 440240"},
    {'L', "040040"},
    {'M', "0004224440"},
    {'N', "00044044"},
    {'O', "143443413010010314"},
    {'P', "000434433202"},
    {'Q', "143443413010010314 2240"},
    {'R', "000434433202 2240"},
    {'S', "43341403123241301001"},
    {'T', "0444 2420"},
    {'U', "040110304144"},
    {'V', "042044"},
    {'W', "0410223044"},
    {'X', "0044 0440"},
    {'Y', "042244 2220"},
    {'Z', "04440040"},
    {'0', "143443413010010314 1133"},
    {'1', "132420 1030"},
    {'2', "03143443420040"},
    {'3', "0444223241301001"},
    {'4', "30340141"},
    {'5', "4404023241301001"},
    {'6', "43341403011030413202"},
    {'7', "044410"},
    {'8', "120314344332120110304132"},
    {'9', "42120314344341301001"},
    {'.', "2020"},
    {'-', "1232"},
    {'+', "1232 2123"},
    {'/', "0044"},
    {'(', "34232130"},
    {')', "14232110"},
    {':', "2121 2323"},
    {',', "2010"},
};

static const glyph *find_glyph(char c)
{
    const char upper = c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
    for (size_t i = 0; i < sizeof glyphs / sizeof *glyphs; i++)
        if (glyphs[i].name == upper)
            return &glyphs[i];
    return NULL;
}

static void draw_glyph(lev_picture *p, const char *path, double x, double y,
                       double unit, const float rgb[3])
{
    for (; path[0] != '\0' && path[1] != '\0'; path += 2) {
        if (path[0] == ' ') {
            path--;
            continue;
        }
        if (path[2] == '\0' || path[2] == ' ' || path[3] == '\0')
            continue;
        const lev_stroke_mm s = {x + unit * (0.5 + (path[0] - '0')),
                                 y - unit * (0.5 + (path[1] - '0')),
                                 x + unit * (0.5 + (path[2] - '0')),
                                 y - unit * (0.5 + (path[3] - '0')), unit};
        lev_draw_stroke(p, s, rgb);
    }
}

/* Strokes from one letter to the next: five of its own and one and a half between. */
static const double advance_strokes = 6.5;

void lev_picture_text(lev_picture *p, const char *text, double x_mm, double y_mm,
                      double height_mm, const float rgb[3])
{
    const double unit = height_mm / 5.0;
    for (; *text != '\0'; text++, x_mm += advance_strokes * unit) {
        const glyph *const g = find_glyph(*text);
        if (g != NULL)
            draw_glyph(p, g->path, x_mm, y_mm, unit, rgb);
    }
}

double lev_picture_text_mm(const char *text, double height_mm)
{
    const size_t n = strlen(text);
    return n == 0 ? 0.0 : height_mm / 5.0 * (advance_strokes * (double)n - 1.5);
}
