/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a table of numbers to a profile or a map. */
#include <math.h>

#include "csv.h"
#include "units.h"

/* Unit of height in um: what the file says, else what the caller says. */
static lev_status height_unit(const csv_table *t, const lev_surface_hint *hint,
                              double *um, lev_error *err)
{
    *um = t->z_um > 0.0 ? t->z_um : hint->z_unit_um;
    if (!(*um > 0.0) || !isfinite(*um))
        return lev_fail(err, LEV_E_USAGE,
                        "the file does not say the unit of its heights; a column z_um "
                        "or --z-unit");
    return LEV_OK;
}

static lev_status spacing(const csv_table *t, const lev_surface_hint *hint, double *dx,
                          double *dy, lev_error *err)
{
    *dx = t->dx_um > 0.0 ? t->dx_um : hint->dx_um;
    *dy = t->dy_um > 0.0 ? t->dy_um : hint->dy_um;
    if (!(*dx > 0.0))
        return lev_fail(err, LEV_E_USAGE,
                        "the file does not say the spacing of its points; a column "
                        "x_mm or --dx-um");
    if (!(*dy > 0.0))
        *dy = *dx;
    return LEV_OK;
}

/* Spacing from positions: even within a twentieth of a step, rising. */
static lev_status spacing_of_x(const csv_table *t, double unit_um, ptrdiff_t stride,
                               double *dx_um, lev_error *err)
{
    const ptrdiff_t n = t->rows;
    const ptrdiff_t at = t->x_column < t->z_column ? 0 : 1;
    if (n < 2)
        return lev_fail(err, LEV_E_FORMAT, "one point; two or more make a profile");
    const double first = t->v[at],
                 step = (t->v[(n - 1) * stride + at] - first) / (double)(n - 1);
    for (ptrdiff_t i = 0; i < n; i++)
        if (isnan(t->v[i * stride + at]))
            return lev_fail(err, LEV_E_FORMAT, "point %td has no x", i + 1);
    for (ptrdiff_t i = 0; i < n; i++)
        if (!(fabs(t->v[i * stride + at] - first - step * (double)i) <=
              0.05 * fabs(step)))
            return lev_fail(err, LEV_E_FORMAT,
                            "x is not evenly spaced at point %td (%.10g)", i + 1,
                            t->v[i * stride + at]);
    if (!(step > 0.0))
        return lev_fail(err, LEV_E_FORMAT, "x does not rise");
    *dx_um = step * unit_um;
    return LEV_OK;
}

static lev_status named_profile(const csv_table *t, const lev_surface_hint *hint,
                                lev_surface *out, lev_error *err)
{
    lev_status st = LEV_OK;
    double unit = 0.0, dx = 0.0, dy = 0.0;
    const bool has_x = t->x_column >= 0;
    const ptrdiff_t stride = has_x ? 2 : 1;
    const ptrdiff_t z_at = has_x && t->x_column < t->z_column ? 1 : 0;
    if (t->columns <= t->x_column || t->columns <= t->z_column)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT,
                         "%td cells a line, fewer than the heading names", t->columns));
    LEV_TRY(height_unit(t, hint, &unit, err));
    if (!has_x || t->dx_um > 0.0 || !(t->x_um > 0.0))
        LEV_TRY(spacing(t, hint, &dx, &dy, err));
    else
        LEV_TRY(spacing_of_x(t, t->x_um, stride, &dx, err));
    LEV_TRY(lev_format_room(out, t->rows, 1, dx, 0.0, err));
    for (ptrdiff_t i = 0; i < t->rows; i++)
        lev_format_put(out, i, t->v[i * stride + z_at] * unit);
out:
    return st;
}

/* "0,5" in every line: half a micrometre, or two columns? A file that tells dy is a
 * map, and one with a decimal point has no decimal comma. */
static bool comma_may_be_decimal(const csv_table *t, const lev_surface_hint *hint)
{
    return t->parted == ',' && t->columns == 2 && t->tails && !t->points &&
           !(t->dy_um > 0.0) && !(hint->dy_um > 0.0);
}

lev_status csv_to_surface(const csv_table *t, const lev_surface_hint *hint,
                          lev_surface *out, lev_error *err)
{
    lev_status st = LEV_OK;
    double unit = 0.0, dx = 0.0, dy = 0.0;
    if (t->named)
        return named_profile(t, hint, out, err);
    if (comma_may_be_decimal(t, hint))
        LEV_TRY(
            lev_fail(err, LEV_E_USAGE,
                     "one comma in every line, a decimal sign or two columns; cells "
                     "parted by semicolon or tab, or a heading such as x_mm;z_um"));
    /* A mark behind the last cell of every line is no column of missing points, unless
     * the file tells dy as ours do. */
    const ptrdiff_t columns =
        t->tails || t->columns == 1 || t->dy_um > 0.0 ? t->columns : t->columns - 1;
    if (columns == 2 && !(t->dx_um > 0.0))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "two columns without names; a heading such as x_mm,z_um"));
    LEV_TRY(height_unit(t, hint, &unit, err));
    LEV_TRY(spacing(t, hint, &dx, &dy, err));
    if (columns == 1)
        LEV_TRY(lev_format_room(out, t->rows, 1, dx, 0.0, err));
    else
        LEV_TRY(lev_format_room(out, columns, t->rows, dx, dy, err));
    for (ptrdiff_t i = 0; i < columns * t->rows; i++)
        lev_format_put(out, i, t->v[i / columns * t->columns + i % columns] * unit);
out:
    return st;
}
