/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat of a step: how warm the face gets, when it is harmed, how fast one may go. */
#ifndef LEVIGATE_HEAT_H
#define LEVIGATE_HEAT_H

#include "levigate/cut.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct lev_heat_part {
    double thickness_mm; /* > 0; what stores the heat behind the face */
    double area_mm2;     /* of the face, > 0 */
    double start_c;      /* temperature at the start; 0: 20 C */
} lev_heat_part;

typedef struct lev_heat {
    double flux_w_m2;       /* into the work, over the patch */
    double rise_k;          /* of the surface under the moving patch, first pass */
    double rate_k_s;        /* of the whole part, no heat lost */
    double to_damage_s;     /* until rise and rate together reach damage; INFINITY:
                               never within an hour */
    double speed_limit_m_s; /* sliding speed at which the first pass alone would harm */
    double damage_c;
    lev_mark mark;
    unsigned notes;
} lev_heat;

/** Rise under a strip source of length_mm moving at speed_m_s over a half-space,
 * trailing edge: 1.13 q sqrt(l / (k rho c v)); holds for v l / (4 alpha) > 5.
 * Source: Jaeger, Proc. Roy. Soc. NSW 76 (1942) 203. */
double lev_heat_strip_rise_k(double flux_w_m2, double length_mm, double speed_m_s,
                             double conductivity_w_mk, double density_kg_m3,
                             double heat_j_kgk);

/** Heat of one step on one part.
 * @return LEV_OK; LEV_E_RANGE if the part has no size. Thermal figures that the work
 *         does not know are the family's usual ones, noted. */
lev_status lev_heat_step(const lev_cut_work *work, const lev_cut_tool *tool,
                         const lev_cut_pass *pass, const lev_heat_part *part,
                         lev_heat *out, lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
