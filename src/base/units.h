/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exact unit factors and mathematical constants: the only figures outside data/. */
#ifndef BASE_UNITS_H
#define BASE_UNITS_H

#define LEV_PI          3.14159265358979323846 /* pure number */
#define LEV_UM_PER_MM   1e3                    /* um/mm, exact */
#define LEV_UM_PER_M    1e6                    /* um/m, exact */
#define LEV_UM_PER_INCH 25400.0                /* um/inch, exact since 1959 */
#define LEV_MM_PER_INCH 25.4                   /* mm/inch, exact since 1959 */
#define LEV_UM_PER_UIN  0.0254                 /* um/microinch, exact */
#define LEV_N_PER_KGF   9.80665                /* N/kgf, exact (standard gravity) */
#define LEV_N_PER_LBF   4.4482216152605        /* N/lbf, exact */
#define LEV_PA_PER_KPA  1e3                    /* Pa/kPa, exact */
#define LEV_PA_PER_MPA  1e6                    /* Pa/MPa, exact */
#define LEV_PA_PER_GPA  1e9                    /* Pa/GPa, exact */
#define LEV_S_PER_MIN   60.0                   /* s/min, exact */
#define LEV_S_PER_H     3600.0                 /* s/h, exact */

#endif
