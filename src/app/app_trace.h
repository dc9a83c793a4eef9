/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face measured: read a file, measure it, hold it against a limit and against what
 * the step should leave. */
#ifndef APP_TRACE_H
#define APP_TRACE_H

#include <jansson.h>

#include "app_words.h"
#include "format.h"
#include "levigate/surface.h"
#include "text.h"

typedef struct lev_trace_request {
    const char *path;
    lev_surface_hint hint;
    const char *profile_at;   /* mm from the first row of a map, NULL: the whole map */
    lev_profile_settings set; /* a map takes rule, lc, ls, form, degree, as_is of it */
    ptrdiff_t lines;          /* how many of the deepest lines; 0: 5 */
    const char *limit_symbol; /* Ra, Rz, Sa ...; NULL: no limit */
    double limit_um;
    bool limit_below; /* the limit is a least, not a most */
    lev_accept_rule accept;
    bool has_expected;
    lev_expected expected;
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
    lev_lines lines;
    bool has_limit, has_verdict;
    lev_acceptance limit;
    const char *limit_symbol;
    double limit_um;
    lev_accept_rule accept;
    lev_judgement verdict;
    unsigned notes;
} lev_trace_answer;

lev_status lev_app_trace(const lev_trace_request *req, lev_trace_answer *out,
                         lev_error *err);
void lev_trace_answer_release(lev_trace_answer *a);

/** The answer as JSON; *failed is ORed. */
json_t *lev_app_trace_json(const lev_trace_answer *a, int *failed);
/** The answer for a person. */
void lev_app_trace_text(const lev_trace_answer *a, lev_units units, lev_text *t);
/** The report page, by the ending of path: .pdf, .svg, .png. */
lev_status lev_app_trace_report(const lev_trace_answer *a, const char *path,
                                lev_error *err);
/** Write the roughness profile or the surface that was measured, format by the ending.
 */
lev_status lev_app_trace_save(const lev_trace_answer *a, const char *path,
                              lev_error *err);
/** "maximum rule", "16 % rule", "median rule", "mean". */
const char *lev_app_accept_text(lev_accept_rule rule);
/** "gauss", "regression", "robust", "spline". */
const char *lev_app_filter_text(lev_filter_kind kind);

#endif
