/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a face will show: of a measured surface, of finishes told by their Ra, or of the
 * steps of a job's ladders. */
#ifndef APP_LOOK_H
#define APP_LOOK_H

#include <jansson.h>

#include "app_words.h"
#include "levigate/optics.h"

enum { LEV_LOOKS_MAX = 26 }; /* a start and the longest ladder */

typedef struct lev_look_ask {
    const char *material; /* id, name or alias; needed but for a job */
    double type_mm;       /* 0: 3 mm */
    double card_mm;       /* 0: 50 mm */
    bool picture;         /* draw, not only count */
    bool ends;            /* of a job: only as found and as it will be */
    const double *ra_um;  /* finishes by Ra ... */
    int ra_n;
    bool no_lay;         /* ... without direction */
    double dx_um, dy_um; /* pitch of a file that does not say it; 0: not told */
    double z_unit_um;    /* unit of its heights; 0: not told */
} lev_look_ask;

/* One face in one state. */
typedef struct lev_look_state {
    char label[64];          /* caption: "P240", "RA 0.4 UM"; "" for a file */
    double ra_um;            /* NaN: from a file */
    int step;                /* of a job's ladder, from 1; 0: none */
    lev_look look;           /* of a file; for a finish its middle */
    lev_texture_light light; /* of a finish: with spread */
    bool measured;
} lev_look_state;

typedef struct lev_look_answer {
    const char *material; /* borrowed */
    char face[48];        /* of a job; "" else */
    lev_look_state state[LEV_LOOKS_MAX];
    lev_picture picture[LEV_LOOKS_MAX]; /* when asked for */
    int states;
    double card_mm;
    bool untitled; /* whoever shows the picture says in words how it is looked at */
} lev_look_answer;

/** A height map (or several of one face). */
lev_status lev_app_look_maps(const lev_look_ask *ask, const lev_height_view *maps,
                             ptrdiff_t n, lev_look_answer *out, lev_error *err);
/** Finishes by their Ra. */
lev_status lev_app_look_ra(const lev_look_ask *ask, lev_look_answer *out,
                           lev_error *err);
/** A surface file: map, or a trace taken across the lay. */
lev_status lev_app_look_file(const lev_look_ask *ask, const char *path,
                             lev_look_answer *out, lev_error *err);

/** One more finish behind those there: the common part of the above. */
lev_status lev_look_add_finish(const lev_look_ask *ask, const char *label, double ra_um,
                               bool one_way, lev_look_answer *out, lev_error *err);

void lev_look_answer_release(lev_look_answer *a);

/** Draw to a .png: one picture, or all of them side by side; several answers (faces of
 * a job) below each other. */
lev_status lev_app_look_png(const lev_look_answer *a, int n, const char *path,
                            lev_error *err);

/** One answer's keys into obj; *failed is ORed. */
void lev_app_look_json(const lev_look_answer *a, json_t *obj, int *failed);
void lev_app_look_text(lev_text *t, const lev_look_answer *a, lev_units units);

/** "gloss 60 deg: 12 across the lay, 30 along it" */
void lev_look_gloss_words(lev_text *t, const lev_look *k);
/** "type of 3 mm reads up to 40 mm off" */
void lev_look_reads_words(lev_text *t, const lev_look *k, lev_units units);

#endif
