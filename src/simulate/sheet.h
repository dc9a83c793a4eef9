/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet: a finite number of grains, tallest first, and what one of them does when
 * it crosses a row. Lengths um, moduli and hardness MPa, forces therefore uN. */
#ifndef SIMULATE_SHEET_H
#define SIMULATE_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "groove.h"
#include "levigate/simulate.h"

/* One grain as the work meets it. */
typedef struct sim_grain {
    double height_um; /* of the tip above the sheet */
    double spring;    /* uN/um */
    double spread;    /* tangent of the cone's half-angle */
    double radius_um; /* of the tip; 0 = sharp */
    double size_um;
} sim_grain;

typedef struct sim_sheet {
    sim_grain *grain; /* n of them by height when new, tallest first; owned */
    double *new_um;   /* their heights when new, same order; owned */
    ptrdiff_t n;
    double per_um2; /* grains of the whole sheet on an area */
} sim_sheet;

lev_status sim_sheet_init(sim_sheet *s, const lev_sim_step *step, lev_error *err);
void sim_sheet_release(sim_sheet *s);

/** How many of the grains, counted from the tallest, stand above a height. */
ptrdiff_t sim_sheet_above(const sim_sheet *s, double height_um);

/** What the sheet does to a flat face. */
typedef struct sim_flat {
    double sheet_um;      /* height of the sheet above the face */
    double half_width_um; /* mean over the touching grains */
} sim_flat;

/** Lower the sheet on a flat face until it carries the step's pressure. */
sim_flat sim_flat_press(const sim_sheet *s, const lev_sim_step *step);

/** Depth of a groove in a flat face when the free tip would stand free_um below it:
 * spring against plastic flow of a sharp cone. */
double sim_flat_depth_um(const sim_grain *g, double hardness_mpa, double free_um);

/** Force on a grain whose engaged section (across its path) has this area, and how it
 * grows with the area. Source: half of the contact circle carries (Rabinowicz 1965);
 * the circle is the one a flat face would give for the same area. */
double sim_force(const sim_grain *g, double hardness_mpa, double area_um2,
                 double *growth);

/* One row of heights being worked, with what the kernels need. */
typedef struct sim_row {
    double *h_um; /* nx heights, a row or a column of the map; it wraps round */
    uint8_t *age;
    double *top_um; /* no height of the row is above this */
    ptrdiff_t nx;
    ptrdiff_t stride; /* elements from one height to the next: 1, or a column's */
    double pitch_um;
    double *spare_um; /* nx heights and nx ages to work in across the seam */
    uint8_t *spare_age;
    const lev_groove_kern *kern;
} sim_row;

/* One grain about to cross a row. */
typedef struct sim_pass {
    const sim_grain *grain;
    double x_um;    /* where */
    double free_um; /* height of the tip if nothing resisted */
    double cosine;  /* of the angle between the path and the row's normal */
} sim_pass;

/* What came of it. */
typedef struct sim_touch {
    double force_un;
    double bottom_um;  /* where the tip ran */
    double width_um;   /* engaged, across the path */
    double removed_um; /* heights taken off the row, ridges put back already */
    double pixels;     /* heights looked at */
} sim_touch;

/** Balance of spring and resistance; changes nothing. false: it does not touch. */
bool sim_press(const sim_row *row, const sim_pass *pass, double hardness_mpa,
               sim_touch *touch);

/** Cut the groove that sim_press found and raise its ridges. */
void sim_cut(const sim_row *row, const sim_pass *pass, const lev_sim_step *step,
             uint8_t stamp, sim_touch *touch);

#endif
