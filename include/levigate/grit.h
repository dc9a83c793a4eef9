/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grits: what the marking on an abrasive means in micrometres.
 *
 * A grit is keyed by system + label + measuring method, never by a bare number: 1000 is
 * 18.3, 11.5, 9.2 or 4.5 um by who printed it. Everything here is a plain value that
 * points only into the constant tables of data/; nothing is allocated and nothing can
 * be left over. Sizes are micrometres, shares of volume are 0..1 unless named _pct. */
#ifndef LEVIGATE_GRIT_H
#define LEVIGATE_GRIT_H

#include <stdbool.h>
#include <stddef.h>

#include "levigate/status.h"
#include "levigate/trust.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    LEV_GRIT_LABEL = 48,      /* bytes of a label with its final zero */
    LEV_GRIT_MATCHES = 32,    /* most readings of one marking */
    LEV_GRIT_TEXT = 400,      /* bytes of one sentence with its final zero */
    LEV_GRIT_ALIKE = 8,       /* most equivalents listed */
    LEV_GRIT_STATE_MAX = 1024 /* most candidates while an unmarked one is identified */
};

/* One grit. A figure that is not published is NAN; `label` is printed as sold. */
typedef struct lev_grit {
    const char *system;         /* id of the system; "um" for a bare size */
    char label[LEV_GRIT_LABEL]; /* as printed: "P220", "#1000", "bastard 200 mm" */
    const char *method;         /* how the size was measured; "" unknown */
    const char *kind;           /* as in the table: what sort of size this is */
    double max_um;              /* no grain is larger */
    double coarse_um;           /* coarse limit ... */
    double coarse_pct;          /* ... and the share by volume above it, 0..100 */
    double d50_um;              /* median by volume, or the published average */
    double d50_tol_um;          /* +- on it */
    double fine_um;             /* fine limit ... */
    double fine_pct;            /* ... and the share by volume above it, 0..100 */
    double pitch_um;            /* files: distance of the teeth; NAN for grains */
    lev_mark mark;              /* how the figures are known */
    const char *source;         /* citation, "" for a bare size */
    const char *note;           /* reservation in words, "" for none */
    unsigned notes;             /* bits of levigate/note.h */
    int row;                    /* row of the grit table; -1 where none */
} lev_grit;

/** Number of rows of the grit table. */
int lev_grit_count(void);

/** Row i, 0 <= i < lev_grit_count(). */
lev_grit lev_grit_at(int i);

/**
 * The grit with this key.
 * @param system  id of the system, in any case; "um" for a bare size, the name of a
 * list of files ("ISO-234-2") for a file
 * @param label   with or without the system's letter, in any case: "P220", "220"
 * @param method  NULL or "" for the first method listed
 * @return LEV_OK; LEV_E_UNKNOWN with the nearest labels in the message
 */
lev_status lev_grit_find(const char *system, const char *label, const char *method,
                         lev_grit *out, lev_error *err);

/** A bare size in micrometres, row -1. @return LEV_E_RANGE unless 0.001 to 100000. */
lev_status lev_grit_bare(double size_um, lev_grit *out, lev_error *err);

/** Number of systems, and the id and name of system i. */
int lev_grit_systems(void);
const char *lev_grit_system_id(int i);
const char *lev_grit_system_name(int i);
/** Where abrasives of this system are met, in words; "" unknown. */
const char *lev_grit_system_where(int i);
/** Index of a system by id or by one of its other names; -1 unknown. */
int lev_grit_system_find(const char *name);

/* ---- markings ---- */

/* What else a wheel's marking says, in the order of ISO 525; "" or 0 where absent. */
typedef struct lev_grit_wheel {
    char mineral[8];
    char hardness[2]; /* A soft to Z hard */
    int structure;    /* 0 closed to 99 open, -1 absent */
    char bond[4];     /* V vitrified, B resinoid, R rubber, ... */
} lev_grit_wheel;

/* Everything one marking may mean. */
typedef struct lev_grit_reading {
    lev_grit match[LEV_GRIT_MATCHES]; /* most likely first */
    int n;
    bool ambiguous; /* the matches are not one and the same powder */
    double spread;  /* largest / smallest size of the matches, 1 when one */
    char test[2][LEV_GRIT_TEXT]; /* bench tests that tell the matches apart */
    int n_tests;
    char warning[LEV_GRIT_TEXT]; /* one sentence, "" for none */
    lev_grit_wheel wheel;
    unsigned notes; /* ORed over the matches */
} lev_grit_reading;

/**
 * Read a marking as a person finds it: "P 220", "#1000", "9 µm", "wet and dry 600".
 * @param marking  UTF-8, at most 80 bytes; a comma is taken as decimal sign
 * @param system   NULL, or the id (or another name) of the only system to look in
 * @return LEV_OK, also when ambiguous; LEV_E_UNKNOWN with the nearest markings;
 *         LEV_E_FORMAT when it is no text, LEV_E_LIMIT when it is too long
 */
lev_status lev_grit_read(const char *marking, const char *system, lev_grit_reading *out,
                         lev_error *err);

/* ---- sizes of grains ---- */

/* Log-normal by volume, cut off at the largest grain. */
typedef struct lev_grit_size {
    double median_um;       /* by volume, of the uncut distribution, > 0 */
    double lnsd;            /* standard deviation of ln size, > 0 */
    double max_um;          /* infinite where no largest grain is published */
    unsigned notes;         /* what was assumed */
    const char *assumption; /* the same in words, "" for nothing */
} lev_grit_size;

/**
 * The size distribution a grit's published figures stand for.
 *
 * With a median: the line through it that fits the limits best, least squares on the
 * probit scale. Without: the line through both limits. Limits without a share are
 * bounds with the usual share beyond each (data/grit/defaults.csv); with nothing but a
 * size, the usual ln-spread of its kind and LEV_NOTE_NO_SPREAD. A standard's limits are
 * the widest it allows, so a real lot is narrower.
 * @return LEV_OK; LEV_E_RANGE for a file or anything else without a size
 */
lev_status lev_grit_size_of(const lev_grit *g, lev_grit_size *out, lev_error *err);

/** Size with the share p of the volume below it, 0 < p < 1, of the cut distribution. */
double lev_grit_quantile_um(const lev_grit_size *s, double p);

/** The same by number of grains. */
double lev_grit_number_quantile_um(const lev_grit_size *s, double p);

/** Median by number of the uncut distribution, d50 exp(-3 lnsd^2).
 * Source: Hatch & Choate, J. Franklin Inst. 207 (1929) 369. */
double lev_grit_number_median_um(const lev_grit_size *s);

/** Share by volume finer than size_um, of the cut distribution. */
double lev_grit_share_below(const lev_grit_size *s, double size_um);

/**
 * Common area of the two ln-size densities (uncut), 0 apart to 1 equal: closed form
 * between the points where the densities cross.
 * Source: overlap coefficient, Inman & Bradley, Commun. Stat. A 18 (1989) 3851.
 */
double lev_grit_overlap(const lev_grit_size *a, const lev_grit_size *b);

/* ---- equivalents ---- */

typedef struct lev_grit_alike {
    lev_grit grit;
    double overlap;    /* 0..1 */
    double larger_pct; /* its size against the asked one: + coarser, - finer */
    bool same_method;
    unsigned notes; /* LEV_NOTE_METHODS when measured by another method, ... */
} lev_grit_alike;

/**
 * The nearest grits of another system, best overlap first. Rows measured by the same
 * method come first, because the same powder reads up to 2.5 times apart on two
 * instruments: see *gap.
 * @param system  id or name of the system to look in
 * @param n       number found, at most LEV_GRIT_ALIKE
 * @param gap     where the grit's own powder has a second published size by another
 *                method: that size divided by this one; else NAN. NULL allowed
 */
lev_status lev_grit_like(const lev_grit *g, const char *system,
                         lev_grit_alike out[LEV_GRIT_ALIKE], int *n, double *gap,
                         lev_error *err);

/* ---- an abrasive without a marking ---- */

/* Belief over all grits and files: each weight 0..1, the likeliest 1. */
typedef struct lev_grit_state {
    int n;
    double weight[LEV_GRIT_STATE_MAX];
} lev_grit_state;

/* What one bench test did. */
typedef struct lev_grit_narrowing {
    int remaining;          /* candidates still worth thinking of */
    double low_um, high_um; /* their sizes (teeth apart for files), NAN when none */
    bool contradicts;       /* no candidate fits with the tests before: state kept */
    char text[LEV_GRIT_TEXT];
    unsigned notes;
} lev_grit_narrowing;

/** Every candidate equally likely. */
void lev_grit_identify_begin(lev_grit_state *s);

/**
 * Take one bench test into account, by Bayes' rule with the tolerances of
 * data/grit/bench.csv:
 *   like=P220 coarser=P220 finer=P400  scratches against a known grit
 *   lines=12        scratch lines per mm under a lens
 *   grains=seen     or not-seen, by eye at reading distance
 *   backing=paper   or cloth, film, stone, wool, powder, paste, file, ...
 *   feel=rough      or another word of the table
 *   teeth=14        teeth per cm of a file; teeth=35/in per inch
 *   size=0.1mm      one measured grain, um or mm
 * @return LEV_OK also when it contradicts; LEV_E_USAGE for no such test; LEV_E_RANGE,
 *         LEV_E_UNKNOWN for its value
 */
lev_status lev_grit_identify(lev_grit_state *s, const char *test,
                             lev_grit_narrowing *out, lev_error *err);

/** The k-th likeliest candidate (k = 0 first) and its weight; false beyond the last. */
bool lev_grit_candidate(const lev_grit_state *s, int k, lev_grit *out, double *weight);

#ifdef __cplusplus
}
#endif
#endif
