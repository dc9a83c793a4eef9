/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Prints what the core makes of some contacts, for check_contact.py: one line each of
 * sigma, top, xi, E_b MPa, H GPa, p kPa, then Ra and Rq over d50, the depth that one
 * thousandth of the length exceeds, the long depth; then the flat contact. */
#include <math.h>
#include <stdio.h>

#include "levigate/cut.h"

int main(void)
{
    static const double sets[][6] = {
        {0.19, 1.75, 0.10, 5, 2, 10},    {0.19, 1.75, 0.10, 10, 7, 40},
        {0.19, 1.75, 0.10, 20, 2, 1},    {0.25, 2.20, 0.10, 8, 1.2, 20},
        {0.30, 2.50, 0.10, 8, 2, 5},     {0.12, 1.60, 0.20, 8, 2, 10},
        {0.19, 1.75, 0.10, 5, 0.06, 10}, {0.16, 1.70, 0.10, 2.4, 0.045, 1.5}};
    for (size_t i = 0; i < sizeof sets / sizeof *sets; i++) {
        const double *s = sets[i];
        const lev_cut_contact_in in = {.grain = {log(100.0), s[0], 100.0 * s[1]},
                                       .pressure_kpa = s[5],
                                       .hardness_gpa = s[4],
                                       .backing_mpa = s[3],
                                       .cone_deg = 70.0,
                                       .coverage = 0.6,
                                       .height_xi = s[2]};
        lev_cut_contact c;
        lev_cut_flat f;
        if (lev_cut_contact_init(&in, &c, NULL) < 0 ||
            lev_cut_flat_init(&in, &f, NULL) < 0)
            return 1;
        printf("%g %g %g %g %g %g %.8g %.8g %.8g %.8g %.8g %.8g %.8g\n", s[0], s[1],
               s[2], s[3], s[4], s[5], c.ra_um / 100.0, c.rq_um / 100.0,
               c.deep_um[2] / 100.0, c.rho_long_um / 100.0, f.level_um / 100.0,
               f.touching_share, f.depth_um / 100.0);
    }
    return 0;
}
