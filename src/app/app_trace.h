/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face measured: read files, measure them, hold the readings against a limit and each
 * file against what the step should leave. */
#ifndef APP_TRACE_H
#define APP_TRACE_H

#include <jansson.h>

#include "app_words.h"
#include "format.h"
#include "levigate/surface.h"
#include "text.h"

enum {
    LEV_TRACE_LIMITS = 2,   /* an upper and a lower one */
    LEV_TRACE_READINGS = 40 /* sections of one trace */
};

typedef struct lev_trace_limit {
    const char *symbol; /* Ra, Rz, Sa ... */
    double um;
    bool below; /* the limit is a least, not a most */
    lev_accept_rule rule;
} lev_trace_limit;

/* A limit and how the readings stand to it. */
typedef struct lev_trace_held {
    lev_trace_limit limit;
    lev_acceptance outcome;
} lev_trace_held;

typedef struct lev_trace_request {
    const char *path;
    lev_surface_hint hint;
    const char *profile_at;   /* mm from the first row of a map, NULL: the whole map */
    lev_profile_settings set; /* a map takes rule, lc, ls, form, degree, as_is of it */
    bool has_ratio_at;        /* the share at this height is asked for */
    double ratio_at_um;
    int heights; /* so many heights are asked for, at these shares */
    double height_at_pct[2];
    ptrdiff_t lines; /* how many of the deepest lines; 0: 5 */
    lev_trace_limit limit[LEV_TRACE_LIMITS];
    int limits;
    bool has_expected;
    lev_expected expected;
    bool to_length;    /* the directions in it are to the length of the face ... */
    double length_deg; /* ... which lies in the map at this direction */
} lev_trace_request;

typedef struct lev_trace_answer {
    const char *format;
    char warning[160];
    bool is_map;
    ptrdiff_t missing, nx, ny;
    double dx_um, dy_um;
    lev_profile_settings set;
    lev_profile_result profile; /* of a trace */
    lev_areal_result areal;     /* of a map */
    double mr_pct, mc_um[2];    /* Rmr(c) and Rmc(p), or Smr and Smc; NaN: not asked */
    lev_lines lines;
    lev_trace_held held[LEV_TRACE_LIMITS];
    int helds;
    bool has_verdict;
    lev_judgement verdict;
    unsigned notes;
} lev_trace_answer;

lev_status lev_app_trace(const lev_trace_request *req, lev_trace_answer *out,
                         lev_error *err);
void lev_trace_answer_release(lev_trace_answer *a);

/** The answer as JSON; *failed is ORed. */
json_t *lev_app_trace_json(const lev_trace_answer *a, int *failed);
/** Rmr(c), Rmc(p) and Rdc(p, q), or Smr, Smc and Sdc, as far as they were asked for. */
void lev_trace_put_curve(json_t *r, const lev_trace_answer *a, int *failed);
/** One limit as JSON; rule: of the profile parameters. */
json_t *lev_app_held_json(const lev_trace_held *h, lev_rule rule, int *failed);
/** The areal parameters under their own symbols. */
void lev_trace_put_areal(json_t *r, const lev_areal *a, int *failed);
/** The answer for a person, and its parts. */
void lev_app_trace_text(const lev_trace_answer *a, lev_units units, lev_text *t);
void lev_app_trace_values_text(const lev_trace_answer *a, lev_units units, lev_text *t);
void lev_app_verdict_text(const lev_judgement *j, lev_text *t);
void lev_app_held_text(const lev_trace_held *h, lev_rule rule, lev_units units,
                       lev_text *t);
/** The report page, by the ending of path: .pdf, .svg, .png. */
lev_status lev_app_trace_report(const lev_trace_answer *a, const char *path,
                                lev_error *err);
/** Write the roughness profile or the surface that was measured, format by the ending.
 */
lev_status lev_app_trace_save(const lev_trace_answer *a, const char *path,
                              lev_error *err);
/** A direction of the map as one to the length of the face, -90 .. 90; length_deg: of
 * the length in the map. NaN stays NaN. */
double lev_app_trace_to_face(const lev_trace_answer *a, double deg, double length_deg);
/** The upper limit on Ra or Rz that the standards choose the cut-off by; NULL: none. */
const lev_trace_limit *lev_app_cutoff_limit(const lev_trace_request *req);
/** "maximum rule", "16 % rule", "median rule", "mean". */
const char *lev_app_accept_text(lev_accept_rule rule);
/** The standard that has the rule: "ISO 21920-1", "ISO 4288", "" for none. */
const char *lev_app_accept_standard(lev_accept_rule accept, lev_rule rule);
/** The readings a symbol stands for in an answer: one a section for Ra and Rz, else the
 * one value. x takes LEV_TRACE_READINGS; 0 when the answer has no such symbol. */
int lev_app_trace_readings(const lev_trace_answer *a, const char *symbol, double *x);
/** "gauss", "regression", "robust", "spline". */
const char *lev_app_filter_text(lev_filter_kind kind);

#endif
