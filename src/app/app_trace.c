/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face measured. See app_trace.h. */
#include "app_trace.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_backend.h"
#include "num.h"
#include "units.h"

enum {
    USUAL_LINES = 5,
    JUDGED_LINES = 1000 /* all that stand out, so that no old one is overlooked */
};

const char *lev_app_accept_text(lev_accept_rule rule)
{
    static const char *const text[] = {"maximum rule", "16 % rule", "median rule",
                                       "mean"};
    return text[rule];
}

const char *lev_app_accept_standard(lev_accept_rule accept, lev_rule rule)
{
    if (accept == LEV_ACCEPT_MEAN)
        return ""; /* by agreement only */
    return rule == LEV_RULE_ISO4287 && accept != LEV_ACCEPT_MEDIAN ? "ISO 4288"
                                                                   : "ISO 21920-1";
}

const char *lev_app_filter_text(lev_filter_kind kind)
{
    static const char *const text[] = {"gauss", "regression", "robust", "spline"};
    return text[kind];
}

/* One row of a map in its place, when asked for. */
static lev_status cut_profile(lev_surface *s, const char *at_mm, lev_error *err)
{
    lev_trace row = {0};
    double at = 0.0;
    if (!lev_surface_is_map(s))
        return lev_fail(err, LEV_E_USAGE,
                        "--profile-at cuts a map; the file is a trace");
    if (!lev_num_parse(at_mm, false, &at))
        return lev_fail(err, LEV_E_USAGE, "--profile-at \"%s\"; millimetres", at_mm);
    const double last_mm = (double)(s->map.ny - 1) * s->map.dy_um / LEV_UM_PER_MM;
    if (at < 0.0 || at > last_mm + 1e-9)
        return lev_fail(err, LEV_E_RANGE,
                        "profile at %g mm of a map that reaches %g mm", at, last_mm);
    const lev_status st = lev_map_row(
        &s->map, (ptrdiff_t)nearbyint(at * LEV_UM_PER_MM / s->map.dy_um), &row, err);
    if (st < 0)
        return st;
    lev_map_release(&s->map);
    s->trace = row;
    return LEV_OK;
}

/* What a file says of itself stands; then what was told is not used. */
static void warn_of_hint(const lev_surface *s, const lev_surface_hint *hint,
                         char *warning, size_t size)
{
    const double dx_um = lev_surface_is_map(s) ? s->map.dx_um : s->trace.dx_um;
    if (hint->dx_um > 0.0 && !lev_near(hint->dx_um, dx_um, 1e-6, 0.0))
        (void)snprintf(warning, size,
                       "the file says %.6g um between its points; --dx-um is not used",
                       dx_um);
}

/* How many lines to look for: the judgement wants all, the list a few. */
static ptrdiff_t lines_wanted(const lev_trace_request *req)
{
    if (req->has_expected)
        return JUDGED_LINES;
    return req->lines > 0 ? req->lines : USUAL_LINES;
}

static lev_status measure_map(const lev_surface *s, const lev_trace_request *req,
                              lev_trace_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_areal_settings set = {.as_is = req->set.as_is,
                                    .lc_mm = req->set.lc_mm,
                                    .ls_um = req->set.ls_um,
                                    .form = req->set.form,
                                    .degree = req->set.degree};
    if (req->set.filter != LEV_FILTER_GAUSS)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "a map takes --filter gauss only"));
    if (req->set.sections > 0 || req->set.rule != LEV_RULE_ISO21920)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "a map has no --%s; it goes with a trace or --profile-at",
                         req->set.sections > 0 ? "sections" : "rule"));
    LEV_TRY(lev_areal_measure(&s->map, &set, &a->areal, err));
    a->notes |= a->areal.notes;
    if (s->map.nx >= 16 && s->map.ny >= 16)
        LEV_TRY(lev_lines_of_map(&a->areal.surface, lines_wanted(req), &a->lines, err));
out:
    return st;
}

const lev_trace_limit *lev_app_cutoff_limit(const lev_trace_request *req)
{
    for (int i = 0; i < req->limits; i++)
        if (!req->limit[i].below && (strcmp(req->limit[i].symbol, "Ra") == 0 ||
                                     strcmp(req->limit[i].symbol, "Rz") == 0))
            return &req->limit[i];
    return NULL;
}

static lev_status measure_trace(const lev_surface *s, const lev_trace_request *req,
                                lev_trace_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_profile_settings set = req->set;
    const lev_trace_limit *limit = lev_app_cutoff_limit(req);
    if (limit != NULL) {
        set.limit_symbol = limit->symbol;
        set.limit_um = limit->um;
    }
    LEV_TRY(lev_profile_measure(&s->trace, &set, &a->profile, err));
    a->notes |= a->profile.notes;
    LEV_TRY(
        lev_lines_of_trace(&a->profile.roughness, lines_wanted(req), &a->lines, err));
    for (ptrdiff_t i = 0; i < a->lines.n; i++) {
        a->lines.line[i].x0_um += a->profile.start_um;
        a->lines.line[i].x1_um += a->profile.start_um;
    }
out:
    return st;
}

int lev_app_trace_readings(const lev_trace_answer *a, const char *symbol, double *x)
{
    const lev_profile *p = &a->profile.p;
    const struct {
        const char *symbol;
        bool map;
        double value;
    } values[] = {
        {"Rq", false, p->Rq_um},          {"Rt", false, p->Rt_um},
        {"Rp", false, p->Rp_um},          {"Rv", false, p->Rv_um},
        {"Rzx", false, p->Rzx_um},        {"Sa", true, a->areal.a.h.Sa_um},
        {"Sq", true, a->areal.a.h.Sq_um}, {"Sz", true, a->areal.a.h.Sz_um},
    };
    if (!a->is_map && (strcmp(symbol, "Ra") == 0 || strcmp(symbol, "Rz") == 0)) {
        const double *from = symbol[1] == 'a' ? p->Ra_section_um : p->Rz_section_um;
        memcpy(x, from, (size_t)p->sections * sizeof *x);
        return p->sections;
    }
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        if (strcmp(values[i].symbol, symbol) == 0 && values[i].map == a->is_map) {
            *x = values[i].value;
            return 1;
        }
    }
    return 0;
}

/* What was asked of the material ratio curve, heights from the mean. */
static lev_status read_curve(const lev_trace_request *req, lev_trace_answer *a,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_ratio r = {0};
    double mean = a->is_map ? a->areal.a.h.mean_um : 0.0;
    a->mr_pct = a->mc_um[0] = a->mc_um[1] = NAN;
    if (!req->has_ratio_at && req->heights == 0)
        goto out;
    LEV_TRY(a->is_map ? lev_ratio_of_map(&a->areal.surface, &r, err)
                      : lev_ratio_of_trace(&a->profile.roughness, &r, err));
    for (ptrdiff_t i = 0; i < r.n && !a->is_map; i++)
        mean += r.z_um[i] / (double)r.n;
    if (req->has_ratio_at)
        a->mr_pct = 100.0 * (a->is_map ? lev_ratio_share(&r, req->ratio_at_um + mean)
                                       : lev_trace_ratio(&a->profile.roughness,
                                                         req->ratio_at_um));
    for (int i = 0; i < req->heights && i < 2; i++)
        a->mc_um[i] = lev_ratio_height(&r, req->height_at_pct[i] / 100.0) - mean;
out:
    lev_ratio_release(&r);
    return st;
}

static lev_status hold_limits(const lev_trace_request *req, lev_trace_answer *a,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    double x[LEV_TRACE_READINGS];
    for (int i = 0; i < req->limits; i++) {
        const lev_trace_limit *l = &req->limit[i];
        const int n = lev_app_trace_readings(a, l->symbol, x);
        if (n == 0)
            LEV_TRY(lev_fail(err, LEV_E_USAGE, "no %s in a %s to hold against a limit",
                             l->symbol, a->is_map ? "map" : "trace"));
        a->held[i].limit = *l;
        LEV_TRY(lev_accept(x, n, l->um, !l->below, l->rule, &a->held[i].outcome, err));
        a->helds = i + 1;
    }
out:
    return st;
}

/* The rows of a picture count downwards, those of the other formats along y. */
static bool rows_count_down(const char *format)
{
    return strcmp(format, "png") == 0 || strcmp(format, "tiff") == 0;
}

double lev_app_trace_to_face(const lev_trace_answer *a, double deg, double length_deg)
{
    const double turn = rows_count_down(a->format) ? -1.0 : 1.0;
    return remainder(turn * (deg - length_deg), 180.0);
}

/* What the step should leave, its directions in the frame of the map. */
static lev_expected in_frame(const lev_trace_request *req, const char *format)
{
    lev_expected e = req->expected;
    const double turn = rows_count_down(format) ? -1.0 : 1.0;
    if (req->to_length) {
        e.old_deg = req->length_deg + turn * e.old_deg;
        e.new_deg = req->length_deg + turn * e.new_deg;
    }
    return e;
}

static void judge(const lev_trace_request *req, lev_trace_answer *a)
{
    const ptrdiff_t listed = req->lines > 0 ? req->lines : USUAL_LINES;
    if (!req->has_expected)
        return;
    const lev_expected want = in_frame(req, a->format);
    const double deepest = a->lines.n > 0 ? a->lines.line[0].depth_um : 0.0;
    const lev_seen seen = {.Ra_um = a->is_map ? a->areal.a.h.Sa_um : a->profile.p.Ra_um,
                           .deepest_um = deepest,
                           .lines = a->is_map ? &a->lines : NULL,
                           .length_mm = a->is_map ? 0.0 : a->profile.le_mm};
    lev_judge(&want, &seen, &a->verdict);
    a->has_verdict = true;
    a->lines.n = a->lines.n < listed ? a->lines.n : listed;
}

lev_status lev_app_trace(const lev_trace_request *req, lev_trace_answer *out,
                         lev_error *err)
{
    lev_status st = LEV_OK;
    lev_surface s = {0};
    lev_trace_answer a = {.set = req->set};
    const lev_format_api *formats = NULL;

    LEV_TRY(lev_backend_formats(&formats, err));
    LEV_TRY(formats->read(req->path, &req->hint, &s, err));
    if (req->profile_at != NULL)
        LEV_TRY(cut_profile(&s, req->profile_at, err));
    a.format = s.format;
    memcpy(a.warning, s.warning, sizeof a.warning);
    warn_of_hint(&s, &req->hint, a.warning, sizeof a.warning);
    a.is_map = lev_surface_is_map(&s);
    a.nx = lev_format_nx(&s);
    a.ny = lev_format_ny(&s);
    a.dx_um = a.is_map ? s.map.dx_um : s.trace.dx_um;
    a.dy_um = a.is_map ? s.map.dy_um : (double)NAN;
    a.missing = a.is_map ? lev_map_missing(&s.map) : lev_trace_missing(&s.trace);
    LEV_TRY(a.is_map ? measure_map(&s, req, &a, err) : measure_trace(&s, req, &a, err));
    LEV_TRY(read_curve(req, &a, err));
    LEV_TRY(hold_limits(req, &a, err));
    judge(req, &a);
    *out = a;
    a = (lev_trace_answer){0};
out:
    lev_surface_release(&s);
    lev_trace_answer_release(&a);
    return st;
}

lev_status lev_app_trace_save(const lev_trace_answer *a, const char *path,
                              lev_error *err)
{
    const lev_format_api *formats = NULL;
    lev_surface s = {0}; /* borrows */
    if (a->is_map)
        s.map = a->areal.surface;
    else
        s.trace = a->profile.roughness;
    const lev_status st = lev_backend_formats(&formats, err);
    return st < 0 ? st : formats->write(path, &s, err);
}

void lev_trace_answer_release(lev_trace_answer *a)
{
    if (a == NULL)
        return;
    lev_profile_result_release(&a->profile);
    lev_areal_result_release(&a->areal);
    lev_lines_release(&a->lines);
}
