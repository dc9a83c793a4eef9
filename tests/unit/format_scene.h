/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surfaces to write and read back. Shared by the tests of the formats. */
#ifndef FORMAT_SCENE_H
#define FORMAT_SCENE_H

#include "golden.h"

#include <math.h>

#include "format.h"
#include "mem.h"
#include "rng.h"

#define FORMATS "metrology/formats/"
#define SAMPLES "metrology/formats/independent/"

static inline void load(const char *name, lev_surface *s)
{
    char path[512];
    lev_error err = {0};
    golden_path(name, path);
    assert_ok(lev_surface_read(path, NULL, s, &err), &err);
}

static inline lev_status parse(const char *text, const lev_surface_hint *hint,
                               lev_surface *s, lev_error *err)
{
    *s = (lev_surface){0};
    return lev_surface_parse(text, strlen(text), hint, s, err);
}

static inline void make_map(lev_surface *s, bool gaps)
{
    const lev_rng r = {3};
    lev_error err = {0};
    *s = (lev_surface){0};
    assert_ok(lev_map_init(&s->map, 37, 23, 1.25, 2.5, &err), &err);
    for (ptrdiff_t i = 0; i < 37 * 23; i++)
        s->map.z_um[i] = (float)lev_rng_normal(r, (uint64_t)i, 0);
    for (ptrdiff_t i = 5; gaps && i < 37 * 23; i += 31)
        s->map.z_um[i] = NAN;
}

static inline void make_trace(lev_surface *s)
{
    const lev_rng r = {4};
    lev_error err = {0};
    *s = (lev_surface){0};
    assert_ok(lev_trace_init(&s->trace, 301, 0.5, &err), &err);
    for (ptrdiff_t i = 0; i < 301; i++)
        s->trace.z_um[i] = lev_rng_normal(r, (uint64_t)i, 0);
    s->trace.z_um[17] = (double)NAN;
}

static inline void same_surface(const lev_surface *a, const lev_surface *b, double atol)
{
    assert_int_equal(lev_surface_is_map(a), lev_surface_is_map(b));
    assert_int_equal(lev_format_nx(a), lev_format_nx(b));
    assert_int_equal(lev_format_ny(a), lev_format_ny(b));
    assert_near(a->map.dx_um + a->trace.dx_um, b->map.dx_um + b->trace.dx_um, 1e-14);
    assert_near(a->map.dy_um, b->map.dy_um, 1e-14);
    for (ptrdiff_t i = 0; i < lev_format_nx(a) * lev_format_ny(a); i++) {
        const double x = lev_format_get(a, i), y = lev_format_get(b, i);
        assert_int_equal(isnan(x) != 0, isnan(y) != 0);
        if (!isnan(x))
            assert_near_abs(x, y, atol);
    }
}

#endif
