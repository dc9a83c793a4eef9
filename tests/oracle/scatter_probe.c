/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the library makes of a map on standard input, for tests/oracle/check_scatter.py:
 * scatter_probe NX NY DX_UM DY_UM REPEATS WAVELENGTH_UM INCIDENCE_DEG AZIMUTH_DEG
 * reads NX x NY floats and prints one figure a line. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "levigate/optics.h"
#include "units.h"

static int stop(const char *text)
{
    fprintf(stderr, "scatter_probe: %s\n", text);
    return 1;
}

static void print_shares(const lev_scatter *s, double azimuth)
{
    static const char *const windows[] = {"gloss-20", "gloss-60", "haze-below"};
    const double alpha = sin(s->incidence_rad);
    for (int i = 0; i < 3; i++) {
        lev_window w;
        double share = NAN;
        lev_error err = {0};
        if (lev_optics_window(windows[i], &w, &err) < 0)
            continue;
        /* The same opening around this mirror direction. */
        const double move = alpha - sin(w.incidence_rad);
        w.alpha_low += move;
        w.alpha_high += move;
        (void)lev_optics_collect(s, &w, azimuth, &share, &err);
        printf("share %.17g %.17g %.17g %.17g\n", w.alpha_low, w.alpha_high,
               w.beta_half, share);
    }
}

int main(int argc, char **argv)
{
    if (argc != 9)
        return stop("eight arguments");
    const long nx = strtol(argv[1], NULL, 10);
    const long ny = strtol(argv[2], NULL, 10);
    if (nx < 16 || ny < 16 || nx > 4096 || ny > 4096)
        return stop("a size out of range");
    const double deg = LEV_PI / 180.0;
    const double azimuth = strtod(argv[8], NULL) * deg;
    const lev_scatter_request req = {.wavelength_um = strtod(argv[6], NULL),
                                     .incidence_rad = strtod(argv[7], NULL) * deg,
                                     .repeats = argv[5][0] == '1'};
    float *const z = malloc((size_t)(nx * ny) * sizeof *z);
    if (z == NULL || fread(z, sizeof *z, (size_t)(nx * ny), stdin) != (size_t)(nx * ny))
        return stop("too few heights");
    const lev_height_view m = {z, nx, ny, strtod(argv[3], NULL), strtod(argv[4], NULL)};
    lev_scatter s;
    lev_error err = {0};
    if (lev_optics_scatter(&m, 1, &req, &s, &err) < 0)
        return stop(err.text);
    print_shares(&s, azimuth);
    for (double nu = 20.0; nu < 2000.0; nu *= 3.0)
        printf("mtf %.17g %.17g %.17g\n", nu, lev_optics_mtf(&s, azimuth, false, nu),
               lev_optics_mtf(&s, azimuth, true, nu));
    lev_scatter_release(&s);
    free(z);
    return 0;
}
