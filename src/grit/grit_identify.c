/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An abrasive without a marking: every grit and file starts equally likely, and each
 * bench test multiplies in how likely its outcome was for each (Bayes' rule), with the
 * tolerance of that test. Never a fixed tree: the tests may come in any order. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "grit_table.h"
#include "lev_tables.h"
#include "levigate/note.h"
#include "num.h"
#include "units.h"

/* The outcome of one test, ready to be judged against any candidate. */
typedef struct outcome {
    enum { NEAR, ABOVE, BELOW, TEETH, CARRIER } type;
    double size_um; /* compared size, or pitch */
    double lnsd;
    const char *kinds; /* CARRIER: kinds sold on it */
} outcome;

static lev_grit candidate(int i)
{
    return i < lev_grit_count() ? lev_grit_at(i)
                                : lev_grit_file_at(i - lev_grit_count());
}

static double candidate_um(const lev_grit *g)
{
    if (lev_known(g->pitch_um))
        return g->pitch_um;
    lev_grit_size s;
    if (lev_grit_size_of(g, &s, NULL) < 0)
        return NAN;
    return s.median_um;
}

void lev_grit_identify_begin(lev_grit_state *s)
{
    *s = (lev_grit_state){.n = lev_grit_count() + lev_grit_file_count()};
    for (int i = 0; i < s->n; i++) {
        const lev_grit g = candidate(i);
        s->weight[i] = lev_known(candidate_um(&g)) ? 1.0 : 0.0;
    }
}

static double default_of(const char *id)
{
    lev_mark mark = LEV_MARK_UNSET;
    return lev_grit_default(id, &mark);
}

/* How likely the outcome is when the thing is g, relative to the best fit. */
static double likelihood(const outcome *o, const lev_grit *g)
{
    const bool file = lev_known(g->pitch_um);
    const double z = log(candidate_um(g) / o->size_um) / o->lnsd;
    switch (o->type) {
    case CARRIER:
        return lev_text_in_list(g->kind, o->kinds) ? 1.0 : default_of("backing_miss");
    case TEETH:
        return file ? exp(-0.5 * z * z) : 0.0;
    case NEAR:
        return file ? 0.0 : exp(-0.5 * z * z);
    case ABOVE:
        return file ? 0.0 : lev_norm_cdf(z);
    case BELOW:
        return file ? 0.0 : lev_norm_cdf(-z);
    }
    return 0.0;
}

/* ---- reading a test ---- */

static lev_status known_grit(const char *value, const char *lnsd, outcome *o,
                             lev_error *err)
{
    lev_grit_reading r;
    lev_grit_size s;
    lev_status st = LEV_OK;
    LEV_TRY(lev_grit_read(value, NULL, &r, err));
    if (r.ambiguous)
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "\"%s\" may be %s %s or %s %s; compare with a grit whose "
                         "system is sure, such as P220",
                         value, r.match[0].system, r.match[0].label, r.match[1].system,
                         r.match[1].label));
    LEV_TRY(lev_grit_size_of(&r.match[0], &s, err));
    o->size_um = s.median_um;
    o->lnsd = default_of(lnsd);
out:
    return st;
}

static lev_status positive(const char *value, const char *what, const char **rest,
                           double *out, lev_error *err)
{
    *out = lev_num_read(value, true, rest);
    while (**rest == ' ')
        (*rest)++;
    if (*rest == value || !(*out > 0.0) || !isfinite(*out))
        return lev_fail(err, LEV_E_RANGE, "\"%s\" is no %s; a number above 0", value,
                        what);
    return LEV_OK;
}

static lev_status count_lines(const char *value, outcome *o, lev_error *err)
{
    const char *rest = value;
    double lines = 0.0;
    const lev_status st = positive(value, "count of lines per mm", &rest, &lines, err);
    if (st < 0)
        return st;
    if (*rest != '\0' && !lev_text_same(rest, "/mm"))
        return lev_fail(err, LEV_E_RANGE, "lines are counted per mm, not \"%s\"", rest);
    o->type = NEAR;
    o->size_um = LEV_UM_PER_MM / lines / default_of("line_spacing_ratio");
    o->lnsd = default_of("line_lnsd");
    return LEV_OK;
}

static lev_status count_teeth(const char *value, outcome *o, lev_error *err)
{
    const char *rest = value;
    double teeth = 0.0;
    const lev_status st = positive(value, "count of teeth", &rest, &teeth, err);
    if (st < 0)
        return st;
    const bool inch = lev_text_same(rest, "/in") || lev_text_same(rest, "/inch");
    if (!inch && *rest != '\0' && !lev_text_same(rest, "/cm"))
        return lev_fail(err, LEV_E_RANGE, "teeth are counted per cm or /in, not \"%s\"",
                        rest);
    o->type = TEETH;
    o->size_um = (inch ? LEV_UM_PER_INCH : 10.0 * LEV_UM_PER_MM) / teeth;
    o->lnsd = default_of("teeth_lnsd");
    return LEV_OK;
}

static lev_status measured(const char *value, outcome *o, lev_error *err)
{
    lev_grit_reading r;
    const lev_status st = lev_grit_read(value, NULL, &r, NULL);
    if (st < 0 || strcmp(r.match[0].system, "um") != 0)
        return lev_fail(err, LEV_E_RANGE,
                        "\"%s\" is no size of a grain; such as 0.1 mm or 80 um", value);
    o->type = NEAR;
    o->size_um = r.match[0].d50_um;
    o->lnsd = default_of("size_lnsd");
    return LEV_OK;
}

static lev_status grains_seen(const char *value, outcome *o, lev_error *err)
{
    const bool seen = lev_text_same(value, "seen");
    if (!seen && !lev_text_same(value, "not-seen"))
        return lev_fail(err, LEV_E_RANGE, "grains are seen or not-seen, not \"%s\"",
                        value);
    o->type = seen ? ABOVE : BELOW;
    o->size_um = default_of("eye_distance_mm") * LEV_UM_PER_MM *
                 tan(default_of("eye_arcmin") / 60.0 * LEV_PI / 180.0);
    o->lnsd = default_of("eye_lnsd");
    return LEV_OK;
}

static lev_status by_backing(const char *value, outcome *o, lev_error *err)
{
    for (int i = 0; i < LEV_TAB_GRIT_BACKING_N; i++) {
        if (lev_text_same(lev_tab_grit_backing[i].backing, value)) {
            *o = (outcome){.type = CARRIER,
                           .size_um = 1.0,
                           .lnsd = 1.0,
                           .kinds = lev_tab_grit_backing[i].kinds};
            return LEV_OK;
        }
    }
    return lev_fail(err, LEV_E_UNKNOWN,
                    "no backing is called \"%s\"; paper, cloth, film, stone, wheel, "
                    "powder, paste, wool or file",
                    value);
}

static lev_status by_feel(const char *value, outcome *o, lev_error *err)
{
    for (int i = 0; i < LEV_TAB_GRIT_FEEL_N; i++) {
        if (lev_text_same(lev_tab_grit_feel[i].word, value)) {
            *o = (outcome){.type = NEAR,
                           .size_um = lev_tab_grit_feel[i].size_um,
                           .lnsd = default_of("feel_lnsd")};
            return LEV_OK;
        }
    }
    return lev_fail(err, LEV_E_UNKNOWN,
                    "no feel is called \"%s\"; harsh, rough, scratchy, medium, soft, "
                    "velvety, silky or smooth",
                    value);
}

static lev_status read_test(const char *test, outcome *o, lev_error *err)
{
    const char *value = strchr(test, '=');
    const size_t n = value != NULL ? (size_t)(value - test) : 0;
    char name[16] = "";
    if (value == NULL || n == 0 || n >= sizeof name)
        return lev_fail(err, LEV_E_USAGE,
                        "\"%s\" is no test; such as coarser=P220 or grains=seen", test);
    (void)snprintf(name, sizeof name, "%.*s", (int)n, test);
    value++;
    o->type = NEAR;
    if (lev_text_same(name, "like"))
        return known_grit(value, "like_lnsd", o, err);
    if (lev_text_same(name, "coarser")) {
        o->type = ABOVE;
        return known_grit(value, "order_lnsd", o, err);
    }
    if (lev_text_same(name, "finer")) {
        o->type = BELOW;
        return known_grit(value, "order_lnsd", o, err);
    }
    if (lev_text_same(name, "lines"))
        return count_lines(value, o, err);
    if (lev_text_same(name, "grains"))
        return grains_seen(value, o, err);
    if (lev_text_same(name, "backing"))
        return by_backing(value, o, err);
    if (lev_text_same(name, "feel"))
        return by_feel(value, o, err);
    if (lev_text_same(name, "teeth"))
        return count_teeth(value, o, err);
    if (lev_text_same(name, "size"))
        return measured(value, o, err);
    return lev_fail(err, LEV_E_USAGE,
                    "no test is called \"%s\"; like, coarser, finer, lines, grains, "
                    "backing, feel, teeth or size",
                    name);
}

/* ---- belief ---- */

static void summarise(const lev_grit_state *s, lev_grit_narrowing *out)
{
    const double keep = default_of("keep_share");
    double best = 0.0;
    *out = (lev_grit_narrowing){.low_um = NAN, .high_um = NAN};
    for (int i = 0; i < s->n; i++)
        best = fmax(best, s->weight[i]);
    for (int i = 0; i < s->n; i++) {
        if (!(s->weight[i] > 0.0) || s->weight[i] < keep * best)
            continue;
        const lev_grit g = candidate(i);
        const double x = candidate_um(&g);
        out->remaining++;
        out->low_um = lev_known(out->low_um) ? fmin(out->low_um, x) : x;
        out->high_um = lev_known(out->high_um) ? fmax(out->high_um, x) : x;
        out->notes |= g.notes;
    }
    out->notes |= LEV_NOTE_PRACTICE; /* the tolerances of the tests */
}

lev_status lev_grit_identify(lev_grit_state *s, const char *test,
                             lev_grit_narrowing *out, lev_error *err)
{
    outcome o = {.size_um = 1.0, .lnsd = 1.0};
    double best = 0.0;
    lev_grit_state next = *s;
    const lev_status st = read_test(test, &o, err);
    if (st < 0)
        return st;
    for (int i = 0; i < s->n; i++) {
        if (s->weight[i] > 0.0) {
            const lev_grit g = candidate(i);
            next.weight[i] = s->weight[i] * likelihood(&o, &g);
            best = fmax(best, next.weight[i]);
        }
    }
    const bool contradicts = best < default_of("least_evidence");
    for (int i = 0; !contradicts && i < s->n; i++)
        s->weight[i] = next.weight[i] / best;
    summarise(s, out);
    out->contradicts = contradicts;
    if (contradicts)
        (void)snprintf(out->text, sizeof out->text,
                       "%.60s fits nothing that fits the tests before: repeat it, or "
                       "one of them; kept %d candidates",
                       test, out->remaining);
    else
        (void)snprintf(out->text, sizeof out->text, "%d candidates, %.3g to %.3g um",
                       out->remaining, out->low_um, out->high_um);
    return LEV_OK;
}

bool lev_grit_candidate(const lev_grit_state *s, int k, lev_grit *out, double *weight)
{
    const double keep = default_of("keep_share");
    double best = 0.0;
    for (int i = 0; i < s->n; i++)
        best = fmax(best, s->weight[i]);
    for (int i = 0; i < s->n; i++) {
        int before = 0;
        const double w = s->weight[i];
        if (!(w > 0.0) || w < keep * best)
            continue;
        for (int j = 0; j < s->n; j++)
            before += s->weight[j] > w || (j < i && !(s->weight[j] < w));
        if (before == k) {
            *out = candidate(i);
            *weight = w / best;
            return true;
        }
    }
    return false;
}
