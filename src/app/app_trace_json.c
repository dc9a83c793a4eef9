/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A measured face as JSON: symbols of the standards, whole figures. */
#include "app_trace.h"

#include <math.h>

#include "json.h"

typedef struct named {
    const char *key;
    double value;
} named;

static void put_all(json_t *r, const named *v, size_t n, int *failed)
{
    for (size_t i = 0; i < n; i++)
        *failed |= lev_json_put_number(r, v[i].key, v[i].value);
}

static void put_profile(json_t *r, const lev_profile *p, int *failed)
{
    const named v[] = {{"Ra_um", p->Ra_um},
                       {"Rq_um", p->Rq_um},
                       {"Rz_um", p->Rz_um},
                       {"Rt_um", p->Rt_um},
                       {"Rsk", p->Rsk},
                       {"Rku", p->Rku},
                       {"RSm_um", p->RSm_um},
                       {"Rdq", p->Rdq},
                       {"Rk_um", p->core.k_um},
                       {"Rpk_um", p->core.pk_um},
                       {"Rvk_um", p->core.vk_um},
                       {"Mr1_pct", p->core.mr1_pct},
                       {"Mr2_pct", p->core.mr2_pct},
                       {"Rpq_um", p->plateau.pq_um},
                       {"Rvq_um", p->plateau.vq_um},
                       {"Rmq_pct", p->plateau.mq_pct},
                       {"Rp_um", p->Rp_um},
                       {"Rv_um", p->Rv_um},
                       {"Rzx_um", p->Rzx_um},
                       {"Rpt_um", p->Rpt_um},
                       {"Rvt_um", p->Rvt_um},
                       {"Rc_um", p->Rc_um},
                       {"Rda", p->Rda},
                       {"Rdr_pct", p->Rdr_pct},
                       {"mean_um", p->mean_um}};
    put_all(r, v, sizeof v / sizeof *v, failed);
}

void lev_trace_put_areal(json_t *r, const lev_areal *a, int *failed)
{
    const named v[] = {{"Sa_um", a->h.Sa_um},
                       {"Sq_um", a->h.Sq_um},
                       {"Sz_um", a->h.Sz_um},
                       {"Ssk", a->h.Ssk},
                       {"Sku", a->h.Sku},
                       {"Sal_um", a->Sal_um},
                       {"Str", a->Str},
                       {"Std_deg", a->Std_deg},
                       {"Sdq", a->Sdq},
                       {"Sdr_pct", a->Sdr_pct},
                       {"Sp_um", a->h.Sp_um},
                       {"Sv_um", a->h.Sv_um},
                       {"lay_deg", a->lay_deg},
                       {"lay_strength", a->lay_strength},
                       {"Sk_um", a->core.k_um},
                       {"Spk_um", a->core.pk_um},
                       {"Svk_um", a->core.vk_um},
                       {"Smrk1_pct", a->core.mr1_pct},
                       {"Smrk2_pct", a->core.mr2_pct},
                       {"Spq_um", a->plateau.pq_um},
                       {"Svq_um", a->plateau.vq_um},
                       {"Smq_pct", a->plateau.mq_pct},
                       {"Sxp_um", a->Sxp_um},
                       {"Vmp_um", a->Vmp},
                       {"Vmc_um", a->Vmc},
                       {"Vvv_um", a->Vvv},
                       {"Vvc_um", a->Vvc},
                       {"Spd_per_mm2", a->Spd_per_mm2},
                       {"Spc_per_um", a->Spc_per_um},
                       {"S10z_um", a->S10z_um},
                       {"S5p_um", a->S5p_um},
                       {"S5v_um", a->S5v_um},
                       {"mean_um", a->h.mean_um}};
    put_all(r, v, sizeof v / sizeof *v, failed);
    if (a->Str_bound)
        *failed |= lev_json_put_flag(r, "Str_is_bound", true);
}

static json_t *settings_json(const lev_trace_answer *a, int *failed)
{
    json_t *o = json_object();
    const lev_profile_result *p = &a->profile;
    *failed |= lev_json_put_flag(o, "as_is", a->set.as_is);
    if (a->is_map) {
        if (!a->set.as_is && a->set.lc_mm > 0.0)
            *failed |= lev_json_put_number(o, "lc_mm", a->set.lc_mm);
        if (!a->set.as_is && a->set.ls_um > 0.0)
            *failed |= lev_json_put_number(o, "ls_um", a->set.ls_um);
    } else {
        *failed |= lev_json_put_text(
            o, "rule", a->set.rule == LEV_RULE_ISO4287 ? "iso4287" : "iso21920");
        *failed |= lev_json_put_number(o, "lc_mm", p->lc_mm);
        *failed |= lev_json_put_number(o, "le_mm", p->le_mm);
        *failed |= lev_json_put_int(o, "sections", p->p.sections);
        if (p->ls_um > 0.0)
            *failed |= lev_json_put_number(o, "ls_um", p->ls_um);
        *failed |= lev_json_put_text(o, "class", p->cutoff_id);
        if (p->ls_skipped)
            *failed |= lev_json_put_flag(o, "ls_skipped", true);
        if (p->short_trace)
            *failed |= lev_json_put_flag(o, "short_trace", true);
        if (p->ends_touched)
            *failed |= lev_json_put_flag(o, "ends_touched", true);
    }
    if (!a->set.as_is)
        *failed |= lev_json_put_text(o, "filter", lev_app_filter_text(a->set.filter));
    return o;
}

void lev_trace_put_curve(json_t *r, const lev_trace_answer *a, int *failed)
{
    const named v[] = {{a->is_map ? "Smr_pct" : "Rmr_pct", a->mr_pct},
                       {a->is_map ? "Smc_um" : "Rmc_um", a->mc_um[0]},
                       {a->is_map ? "Smc_second_um" : "Rmc_second_um", a->mc_um[1]},
                       {a->is_map ? "Sdc_um" : "Rdc_um", a->mc_um[0] - a->mc_um[1]}};
    put_all(r, v, sizeof v / sizeof *v, failed);
}

static json_t *lines_json(const lev_lines *l, int *failed)
{
    json_t *array = json_array();
    for (ptrdiff_t i = 0; i < l->n; i++) {
        const lev_line *x = &l->line[i];
        const named v[] = {{"depth_um", x->depth_um},
                           {"length_mm", x->length_mm},
                           {"direction_deg", x->direction_deg},
                           {"mean_depth_um", x->mean_depth_um},
                           {"x0_um", x->x0_um},
                           {"x1_um", x->x1_um},
                           {"y0_um", isnan(x->length_mm) ? (double)NAN : x->y0_um},
                           {"y1_um", isnan(x->length_mm) ? (double)NAN : x->y1_um}};
        json_t *o = json_object();
        put_all(o, v, sizeof v / sizeof *v, failed);
        *failed |= lev_json_add(array, o);
    }
    return array;
}

json_t *lev_app_held_json(const lev_trace_held *h, lev_rule rule, int *failed)
{
    json_t *o = json_object();
    const char *standard = lev_app_accept_standard(h->limit.rule, rule);
    *failed |= lev_json_put_text(o, "symbol", h->limit.symbol);
    *failed |= lev_json_put_number(o, "limit_um", h->limit.um);
    *failed |= lev_json_put_text(o, "side", h->limit.below ? "least" : "most");
    *failed |= lev_json_put_text(o, "rule", lev_app_accept_text(h->limit.rule));
    if (standard[0] != '\0')
        *failed |= lev_json_put_text(o, "standard", standard);
    *failed |= lev_json_put_flag(o, "accepted", h->outcome.accepted);
    *failed |= lev_json_put_number(o, "value_um", h->outcome.value_um);
    *failed |= lev_json_put_int(o, "readings", h->outcome.n);
    *failed |= lev_json_put_int(o, "beyond", h->outcome.beyond);
    *failed |= lev_json_put_text(o, "how", h->outcome.how);
    return o;
}

/* The first limit, and the second where there are two. */
static void put_limits(json_t *r, const lev_trace_answer *a, int *failed)
{
    static const char *const key[LEV_TRACE_LIMITS] = {"limit", "second_limit"};
    for (int i = 0; i < a->helds && i < LEV_TRACE_LIMITS; i++)
        *failed |= lev_json_put(r, key[i],
                                lev_app_held_json(&a->held[i], a->set.rule, failed));
}

json_t *lev_app_trace_json(const lev_trace_answer *a, int *failed)
{
    json_t *r = lev_json_reply();
    *failed |= lev_json_put_text(r, "kind", a->is_map ? "map" : "trace");
    *failed |= lev_json_put_text(r, "format", a->format);
    if (a->is_map)
        lev_trace_put_areal(r, &a->areal.a, failed);
    else
        put_profile(r, &a->profile.p, failed);
    lev_trace_put_curve(r, a, failed);
    *failed |= lev_json_put(r, "settings", settings_json(a, failed));
    *failed |= lev_json_put(r, "lines", lines_json(&a->lines, failed));
    put_limits(r, a, failed);
    if (a->has_verdict) {
        *failed |=
            lev_json_put_text(r, "verdict", lev_verdict_text(a->verdict.verdict));
        *failed |= lev_json_put_text(r, "reason", a->verdict.reason);
        *failed |= lev_json_put_int(r, "old_lines", a->verdict.old_lines);
    }
    *failed |= lev_json_put_int(r, "points_x", a->nx);
    if (a->is_map)
        *failed |= lev_json_put_int(r, "points_y", a->ny);
    *failed |= lev_json_put_int(r, "missing", a->missing);
    *failed |= lev_json_put_number(r, "dx_um", a->dx_um);
    *failed |= lev_json_put_number(r, "dy_um", a->dy_um);
    *failed |= lev_json_put_text(r, "warning", a->warning);
    *failed |= lev_json_put_notes(r, a->notes);
    return r;
}
