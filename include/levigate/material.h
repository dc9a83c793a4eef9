/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Work materials: what they are called and what is published about them. Every figure
 * carries its own mark and source; a second published value is kept beside the first.
 * Plain values that point into the tables of data/; nothing is allocated. */
#ifndef LEVIGATE_MATERIAL_H
#define LEVIGATE_MATERIAL_H

#include <stdbool.h>

#include "levigate/status.h"
#include "levigate/trust.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    LEV_MATERIAL_ALTERNATIVES = 4, /* further published values kept of one figure */
    LEV_MATERIAL_MATCHES = 16,     /* most materials one name stands for */
    LEV_MATERIAL_TEXT = 240        /* bytes of one sentence with its final zero */
};

/* One published figure; value NAN when there is none. */
typedef struct lev_figure {
    double value;
    lev_mark mark;
    const char *source; /* citation, "" for none */
    const char *note;
    double alternative[LEV_MATERIAL_ALTERNATIVES]; /* other published values */
    int alternatives;
} lev_figure;

typedef struct lev_material {
    const char *id, *name, *family;
    const char *alias;       /* other names, parted by semicolons */
    const char *damage_kind; /* what heat does to it first */
    int loading, galling;    /* 0 not at all to 3 badly; judgements */
    lev_figure hardness_gpa; /* indentation hardness, > 0 */
    lev_figure hardness;     /* the same as published, in its own scale ... */
    const char *scale; /* ... "hb", "hv", "n" (Janka), "gpa", "mohs"; "" unknown */
    lev_figure density_kg_m3;
    lev_figure youngs_gpa;
    lev_figure conductivity_w_mk;
    lev_figure specific_heat_j_kgk;
    lev_figure max_temp_c; /* beyond it the face is spoilt */
    lev_mark mark;         /* the weakest of its figures */
    const char *note;
    unsigned notes; /* bits of levigate/note.h */
} lev_material;

/** Number of materials. */
int lev_material_count(void);

/** Material i, 0 <= i < lev_material_count(). */
lev_material lev_material_at(int i);

/* What a name stands for, best first. */
typedef struct lev_material_reading {
    lev_material match[LEV_MATERIAL_MATCHES];
    int n;
    bool ambiguous;                  /* several fit equally well */
    char warning[LEV_MATERIAL_TEXT]; /* such as a state word that no row knows */
} lev_material_reading;

/**
 * Look a material up by id, name or alias, with words for its state: "brass", "brass,
 * half hard", "O1 annealed", "w_walnut".
 * @return LEV_OK; LEV_E_UNKNOWN with the nearest names; LEV_E_FORMAT, LEV_E_LIMIT
 */
lev_status lev_material_read(const char *name, lev_material_reading *out,
                             lev_error *err);

/** The one material with this id, or the best reading of the name. */
lev_status lev_material_find(const char *name, lev_material *out, lev_error *err);

bool lev_material_is_metal(const lev_material *m);
bool lev_material_is_wood(const lev_material *m);
bool lev_material_is_glass(const lev_material *m);
bool lev_material_is_stone(const lev_material *m);
bool lev_material_is_polymer(const lev_material *m);
bool lev_material_is_coating(const lev_material *m);
/** An iron or steel, by its id; so sparks, rust and temper colours concern it. */
bool lev_material_is_ferrous(const lev_material *m);

/* A hardness as told at the bench, with its band where the test is coarse. */
typedef struct lev_hardness {
    double gpa, low_gpa, high_gpa;
    lev_mark mark;
    const char *source;
    unsigned notes;
} lev_hardness;

/**
 * Read a hardness: "60 HRC", "302 HV", "130 HB", "1010 lbf" or "4490 N" (Janka),
 * "2.5 GPa", or the file test: "bites deep", "bites with push", "slides with some
 * bite", "skates".
 * HV and HB are loads over area (x 9.80665 MPa); Janka is its force over the 100 mm2 of
 * its ball; HRC goes by the rows of ASTM E140, between them linearly.
 * @return LEV_OK; LEV_E_FORMAT for no hardness; LEV_E_RANGE outside the scale
 */
lev_status lev_material_hardness(const char *words, lev_hardness *out, lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
