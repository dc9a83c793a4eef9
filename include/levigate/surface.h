/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface texture: traces and height maps, form, filters, parameters, deepest lines,
 * acceptance and the verdict on a step.
 *
 * Heights are micrometres, up is positive; NaN means "not measured" and is never filled
 * in: a filter gives NaN where its input had it and leaves the gap out of its sums.
 * Samples stand in the middle of cells of width dx, so every mean is a plain mean.
 * Settings are structs whose zero means the usual choice. */
#ifndef LEVIGATE_SURFACE_H
#define LEVIGATE_SURFACE_H

#include <stdbool.h>
#include <stddef.h>

#include "levigate/spread.h"
#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- what was measured ---- */

typedef struct lev_trace {
    double *z_um; /* n heights, owned */
    ptrdiff_t n;
    double dx_um; /* > 0 */
} lev_trace;

typedef struct lev_map {
    float *z_um; /* ny rows of nx heights, x fastest, owned */
    ptrdiff_t nx, ny;
    double dx_um, dy_um; /* > 0 */
} lev_map;

/** n heights of 0; LEV_E_RANGE unless n >= 1 and the spacing is positive. */
lev_status lev_trace_init(lev_trace *t, ptrdiff_t n, double dx_um, lev_error *err);
void lev_trace_release(lev_trace *t);
/** Samples first .. first + n - 1 of another trace. */
lev_status lev_trace_part(const lev_trace *t, ptrdiff_t first, ptrdiff_t n,
                          lev_trace *out, lev_error *err);

lev_status lev_map_init(lev_map *m, ptrdiff_t nx, ptrdiff_t ny, double dx_um,
                        double dy_um, lev_error *err);
void lev_map_release(lev_map *m);
/** One row (column) of a map as a trace. */
lev_status lev_map_row(const lev_map *m, ptrdiff_t row, lev_trace *out, lev_error *err);
lev_status lev_map_column(const lev_map *m, ptrdiff_t column, lev_trace *out,
                          lev_error *err);
/** Number of heights that were not measured. */
ptrdiff_t lev_trace_missing(const lev_trace *t);
ptrdiff_t lev_map_missing(const lev_map *m);

/* ---- least squares ---- */

enum { LEV_LSTSQ_MAX = 45 }; /* unknowns: a polynomial of degree 8 in x and y */

/* Linear least squares, one equation at a time, by Givens rotations: as exact as a QR
 * factorisation of the whole and needs no memory for it. Zeroed but for n is ready. */
typedef struct lev_lstsq {
    int n; /* unknowns, 1 .. LEV_LSTSQ_MAX */
    double r[LEV_LSTSQ_MAX * (LEV_LSTSQ_MAX + 1) / 2];
    double qty[LEV_LSTSQ_MAX];
    double rss; /* sum of squared residuals so far */
    ptrdiff_t equations;
} lev_lstsq;

void lev_lstsq_add(lev_lstsq *s, const double *row, double y);
/** LEV_E_RANGE when the equations do not determine the unknowns. */
lev_status lev_lstsq_solve(const lev_lstsq *s, double *x, lev_error *err);

/* ---- form (the F-operator) ---- */

typedef enum lev_form {
    LEV_FORM_NONE,
    LEV_FORM_MEAN,
    LEV_FORM_LINE, /* a plane in a map */
    LEV_FORM_POLYNOMIAL,
    LEV_FORM_CIRCLE /* a sphere in a map */
} lev_form;

typedef struct lev_form_fit {
    double coef[LEV_LSTSQ_MAX]; /* see lev_trace_level and lev_map_level */
    int n;
    double radius_um; /* circle, sphere: positive when the middle is high */
    double rms_um;    /* of what remains */
} lev_form_fit;

/**
 * Subtract the least-squares form in z from the measured heights.
 *
 * @param degree  of the polynomial, 0 .. 8; not read for the other forms
 * @param fit     may be NULL. Polynomial of a trace: powers of x in mm measured from
 *                the middle of the trace, lowest first (a line is degree 1). Plane:
 *                height at the first sample, slope per column, slope per row.
 * @return LEV_E_RANGE when there are too few heights for the form
 */
lev_status lev_trace_level(lev_trace *t, lev_form form, int degree, lev_form_fit *fit,
                           lev_error *err);
lev_status lev_map_level(lev_map *m, lev_form form, int degree, lev_form_fit *fit,
                         lev_error *err);

/* ---- filters ---- */

typedef enum lev_filter_kind {
    LEV_FILTER_GAUSS,      /* ISO 16610-21, areal ISO 16610-61 */
    LEV_FILTER_REGRESSION, /* Gaussian weights, local parabola; traces only */
    LEV_FILTER_ROBUST,     /* the same, made robust: ISO 16610-31; traces only */
    LEV_FILTER_SPLINE      /* ISO 16610-22, natural ends; traces only */
} lev_filter_kind;

typedef enum lev_ends {
    LEV_ENDS_CUT,   /* the kernel is cut at the end and made to sum to 1 again */
    LEV_ENDS_MIRROR /* the heights are mirrored about the end: ISO 16610-28 */
} lev_ends;

typedef struct lev_filter {
    lev_filter_kind kind;
    double cutoff_um;
    double reach;  /* half width of the kernel in cut-offs; 0: 1 for the Gaussian, 2.6
                      for the regression filters */
    lev_ends ends; /* Gaussian only */
} lev_filter;

/**
 * The mean line: what is longer than the cut-off. Roughness is the trace minus this.
 * LEV_E_RANGE unless the cut-off spans at least two samples.
 */
lev_status lev_trace_filter(const lev_trace *t, const lev_filter *f, lev_trace *mean,
                            lev_error *err);
/** The same for a map, Gaussian only. Heights are kept as float, so the result is right
 * to 6e-8 of the height; memory: the result and one strip of columns. */
lev_status lev_map_filter(const lev_map *m, const lev_filter *f, lev_map *mean,
                          lev_error *err);
/** a - b, NaN where either is: into a new trace, or into a. */
lev_status lev_trace_rest(const lev_trace *a, const lev_trace *b, lev_trace *out,
                          lev_error *err);
lev_status lev_trace_subtract(lev_trace *a, const lev_trace *b, lev_error *err);
lev_status lev_map_subtract(lev_map *a, const lev_map *b, lev_error *err);

/* ---- which cut-off ---- */

typedef enum lev_rule { LEV_RULE_ISO21920, LEV_RULE_ISO4287 } lev_rule;

typedef struct lev_cutoff {
    const char *id; /* class or row of the standard's table */
    double lc_mm, ls_um, le_mm;
    double tip_um, spacing_um; /* stylus tip and largest spacing of samples */
    double to_um; /* upper end of the row for the roughness asked; +infinity: none */
    unsigned notes;
} lev_cutoff;

/** The row for a roughness: symbol is "Ra", "Rz" or "RSm" (in um; ISO 4287 rule only).
 * LEV_E_RANGE outside the table, LEV_E_UNKNOWN for another symbol. */
lev_status lev_cutoff_choose(lev_rule rule, const char *symbol, double value_um,
                             lev_cutoff *out, lev_error *err);
/** The row with the longest cut-off not above lc_mm (the first row if none). */
lev_status lev_cutoff_at_most(lev_rule rule, double lc_mm, lev_cutoff *out,
                              lev_error *err);
/** This cut-off, with the short-wave limit of the row at most as long. */
lev_status lev_cutoff_of_lc(lev_rule rule, double lc_mm, lev_cutoff *out,
                            lev_error *err);

/* ---- material ratio curve ---- */

/* Heights in falling order, as double (trace) or float (map). */
typedef struct lev_ratio {
    double *z_um;
    float *zf_um;
    ptrdiff_t n;
} lev_ratio;

/* Rk family, or Sk family for a map. */
typedef struct lev_core {
    double k_um, pk_um, vk_um;
    double mr1_pct, mr2_pct;
    double window_pct; /* where the secant of the standard begins */
} lev_core;

/* Two processes on one face: rms height of the plateaus and of the dales, and the share
 * of the face above where they meet. NaN: one process, or peaks on a smooth ground. */
typedef struct lev_plateau {
    double pq_um, vq_um;
    double mq_pct;
} lev_plateau;

lev_status lev_ratio_of_trace(const lev_trace *t, lev_ratio *out, lev_error *err);
lev_status lev_ratio_of_map(const lev_map *m, lev_ratio *out, lev_error *err);
void lev_ratio_release(lev_ratio *r);
/** Height (same zero as the data) above which the share m, 0 .. 1, of the face lies. */
double lev_ratio_height(const lev_ratio *r, double m);
/** Share of the face at or above a height, 0 .. 1. */
double lev_ratio_share(const lev_ratio *r, double height_um);
/** Material volume above and void volume below the height at m, um3/um2. */
double lev_ratio_material(const lev_ratio *r, double m);
double lev_ratio_void(const lev_ratio *r, double m);
/** Secant of 40 %, first window of the smallest slope; all heights equal give 0.
 * Source: ISO 13565-2, now ISO 21920-2 and ISO 25178-2. */
void lev_ratio_core(const lev_ratio *r, lev_core *out);
/** By two lines through the material probability curve within 2.8 standard deviations,
 * parted by a broken line and half a deviation from its break; NaN with fewer than 141
 * heights, or where one straight line does. Source: ISO 13565-3, whose conic section
 * the broken line replaces. */
void lev_ratio_plateau(const lev_ratio *r, lev_plateau *out);

/* ---- profile parameters ---- */

typedef struct lev_profile {
    double Ra_um, Rq_um, Rsk, Rku;
    double Rp_um, Rv_um, Rz_um; /* means over the sections */
    double Rzx_um;              /* largest section height */
    double Rpt_um, Rvt_um, Rt_um;
    double RSm_um, Rc_um; /* NaN when there are no whole elements */
    ptrdiff_t RSm_count;
    double Rdq, Rda;          /* seven-point slopes */
    double Rdr_pct;           /* developed length */
    double mean_um;           /* subtracted first */
    lev_core core;            /* Rk family */
    lev_plateau plateau;      /* Rpq, Rvq, Rmq; of the profile of the Rk family */
    double Rz_section_um[40]; /* one reading a section, for the acceptance rules */
    double Ra_section_um[40];
    int sections;
} lev_profile;

/**
 * Parameters of a roughness profile. The mean is subtracted first; the sections are
 * equal runs of samples and are not centred again.
 *
 * @param rule      ISO 21920-2: Ra, Rq, Rsk, Rku, Rdq over the whole length, RSm with
 *                  thresholds of 10 % of Rp and Rv; ISO 4287: Ra, Rq, Rsk, Rku as means
 *                  over the sections, RSm with 10 % of Rz
 * @param sections  1 .. 40; 0 means 5
 * @return LEV_E_RANGE when a section has no measured height
 */
lev_status lev_profile_of(const lev_trace *t, lev_rule rule, int sections,
                          lev_profile *out, lev_error *err);
/** Share of the line (joined samples) at or above a height from the mean line. */
double lev_trace_ratio(const lev_trace *t, double height_um);

typedef struct lev_profile_settings {
    lev_rule rule;
    bool as_is;   /* already a roughness profile: no form, no filter */
    double lc_mm; /* 0: by the rule from limit, else from the measured value */
    double ls_um; /* 0: of the row of lc; below zero: none */
    lev_filter_kind filter;
    lev_form form; /* LEV_FORM_NONE: a line, since no trace lies level */
    int degree;
    int sections;             /* 0: 5 */
    const char *limit_symbol; /* "Ra" or "Rz" with limit_um: picks the cut-off */
    double limit_um;
} lev_profile_settings;

typedef struct lev_profile_result {
    lev_profile p;
    lev_trace roughness, waviness; /* owned; waviness empty with as_is */
    lev_trace primary; /* what both are parts of: form and short waves off */
    double start_um;   /* where the roughness begins in the trace */
    double lc_mm, ls_um, le_mm;
    const char *cutoff_id; /* "" when lc was given or as_is */
    bool ends_touched;     /* the kernel was cut by an end inside the length */
    bool ls_skipped;       /* samples stand too far apart for the short-wave filter */
    bool short_trace;      /* fewer sections than asked for fit into the trace */
    unsigned notes;
} lev_profile_result;

/** Form, short-wave filter, long-wave filter, cut to whole sections, parameters. */
lev_status lev_profile_measure(const lev_trace *t, const lev_profile_settings *set,
                               lev_profile_result *out, lev_error *err);
void lev_profile_result_release(lev_profile_result *r);

/* ---- areal parameters ---- */

typedef struct lev_heights {
    double Sa_um, Sq_um, Ssk, Sku, Sp_um, Sv_um, Sz_um;
    double mean_um; /* heights are from this mean */
    ptrdiff_t n;    /* measured heights */
} lev_heights;

typedef struct lev_areal {
    lev_heights h;
    double Sdq, Sdr_pct;
    double Sal_um, Str;
    bool Str_bound; /* the autocorrelation did not fall within the map: Str is lower */
    double Std_deg; /* direction of the strongest spectrum from +x towards +y, 0..180 */
    double lay_deg; /* direction of the marks by the mean slope tensor, 0 .. 180 */
    double lay_strength; /* 0 no direction, 1 all slopes one way */
    lev_core core;
    lev_plateau plateau; /* Spq, Svq, Smq */
    double Sxp_um;
    double Vmp, Vmc, Vvv, Vvc;                               /* um3/um2 */
    double Spd_per_mm2, Spc_per_um, S10z_um, S5p_um, S5v_um; /* NaN: no hill or dale */
    ptrdiff_t hills, dales;
} lev_areal;

/** Height parameters only; LEV_E_RANGE when nothing was measured. */
lev_status lev_map_heights(const lev_map *m, lev_heights *out, lev_error *err);
/** All parameters of an S-F or S-L surface; the mean is taken off, nothing else. */
lev_status lev_map_areal(const lev_map *m, lev_areal *out, lev_error *err);

typedef struct lev_areal_settings {
    bool as_is;
    double lc_mm;  /* L-filter; 0: none, an S-F surface */
    double ls_um;  /* S-filter; 0 or less: none */
    lev_form form; /* LEV_FORM_NONE: a plane */
    int degree;
} lev_areal_settings;

typedef struct lev_areal_result {
    lev_areal a;
    lev_map surface; /* owned: the surface the parameters are of */
    ptrdiff_t missing;
    unsigned notes;
} lev_areal_result;

lev_status lev_areal_measure(const lev_map *m, const lev_areal_settings *set,
                             lev_areal_result *out, lev_error *err);
void lev_areal_result_release(lev_areal_result *r);

/* ---- deepest lines ---- */

typedef struct lev_line {
    double depth_um;      /* deepest point below the mean of the surface */
    double mean_depth_um; /* mean along the line, below its neighbourhood */
    double length_mm;     /* NaN for a trace, which crosses lines and cannot see it */
    double direction_deg; /* from +x towards +y, 0 .. 180; NaN for a trace */
    double x0_um, y0_um, x1_um, y1_um; /* ends, from the first sample */
} lev_line;

typedef struct lev_lines {
    lev_line *line; /* deepest first, owned */
    ptrdiff_t n;
    double floor_um; /* contrast below which nothing was called a line */
} lev_lines;

/** Long narrow marks of a levelled map, deepest first, at most `most`. */
lev_status lev_lines_of_map(const lev_map *m, ptrdiff_t most, lev_lines *out,
                            lev_error *err);
/** The deepest dales a roughness profile crosses, deepest first, at most `most`. */
lev_status lev_lines_of_trace(const lev_trace *t, ptrdiff_t most, lev_lines *out,
                              lev_error *err);
void lev_lines_release(lev_lines *l);

/* ---- acceptance ---- */

typedef enum lev_accept_rule {
    LEV_ACCEPT_MAX,
    LEV_ACCEPT_16PCT,
    LEV_ACCEPT_MEDIAN,
    LEV_ACCEPT_MEAN
} lev_accept_rule;

typedef struct lev_acceptance {
    bool accepted;
    double value_um; /* what was held against the limit */
    int beyond;      /* readings beyond the limit */
    int n;
    const char *how; /* the clause that decided, in words */
} lev_acceptance;

/**
 * Hold readings against a limit.
 * @param upper  true: none should be above; false: none below
 * Source: ISO 4288 clause 5 (16 %, max), ISO 21920-1 clause 4 (maximum, 16 %, median).
 */
lev_status lev_accept(const double *reading_um, int n, double limit_um, bool upper,
                      lev_accept_rule rule, lev_acceptance *out, lev_error *err);

/* ---- is this grit done ---- */

typedef enum lev_verdict {
    LEV_VERDICT_NEXT_GRIT,
    LEV_VERDICT_KEEP_AT_IT,
    LEV_VERDICT_CANNOT_TELL
} lev_verdict;

/** "next-grit", "keep-at-it", "cannot-tell". */
const char *lev_verdict_text(lev_verdict v);

/* What the step should leave, and what came before. Zero = not known. */
typedef struct lev_expected {
    lev_spread Ra_um;        /* of a trace, or Sa of a map */
    double deepest_um;       /* deepest mark of the step itself */
    bool has_direction;      /* the two directions below are known */
    double old_deg, new_deg; /* of the marks, in the frame of the map */
    bool no_lay;             /* the step leaves marks in every direction */
} lev_expected;

/* What was measured. NaN = not measured. */
typedef struct lev_seen {
    double Ra_um;           /* or Sa */
    double deepest_um;      /* of the deepest line; 0: none found */
    const lev_lines *lines; /* of a map with directions; NULL for traces */
    double length_mm;       /* evaluation length of a trace; 0 for a map */
} lev_seen;

typedef struct lev_judgement {
    lev_verdict verdict;
    char reason[160]; /* one sentence without full stop */
    int old_lines;    /* lines found in the old direction */
    double worst_um;  /* deepest of them, or of all when direction cannot tell */
} lev_judgement;

/** Judge a step. A face is never called cleared by an average: a mark deeper than the
 * step can leave, or a line in the old direction, keeps it. */
void lev_judge(const lev_expected *want, const lev_seen *seen, lev_judgement *out);

#ifdef __cplusplus
}
#endif
#endif
