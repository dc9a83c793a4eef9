/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See plan_help.h. The changes are tried in the order a person would: more budget, more
 * sheets, any drive, a medium between or beyond those at hand, a wider target. */
#include "plan_help.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "mem.h"
#include "num.h"
#include "plan_steps.h"

/* The least removal of the changed face; x->n = 0 when it has no ladder either. */
static lev_status solve_changed(const lev_face *face, const lev_plan_limits *limits,
                                lev_plan_ladder *x, double *charged_um, lev_error *err)
{
    lev_status st = LEV_OK;
    space s = {0};
    *x = (lev_plan_ladder){0};
    LEV_TRY(space_init(&s, face, err));
    if (s.n > 0)
        LEV_TRY(lev_plan_solve(&s.table, LEV_PLAN_REMOVAL, limits, x, err));
    if (charged_um != NULL)
        *charged_um = x->remove_um * fmax(1.0, face->edge_wear) * s.relax;
out:
    space_release(&s);
    return st;
}

/* The deepest marks that the budget as it is would do for, in whole um; 0 none. */
static lev_status find_start(const space *s, const lev_plan_limits *limits,
                             double *start_um, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_face_start *told = &s->face->start;
    double low = 0.0, high = lev_known(told->mark_um) ? told->mark_um : 0.0;
    const double doubt =
        lev_known(told->mark_hi_um) && high > 0.0 ? told->mark_hi_um / high : 1.0;
    while (high - low > 1.0) {
        lev_face f = *s->face;
        lev_plan_ladder x;
        f.start.mark_um = floor(0.5 * (low + high));
        f.start.mark_hi_um = f.start.mark_um * doubt;
        LEV_TRY(solve_changed(&f, limits, &x, NULL, err));
        if (x.n > 0)
            low = f.start.mark_um;
        else
            high = f.start.mark_um;
        if (f.start.mark_um < 1.0)
            break;
    }
    *start_um = low;
out:
    return st;
}

/* The budget that would do: depth, edges and the unfavourable relaxation together. The
 * charge is asked at a budget that binds nothing but still counts as one. */
static lev_status try_budget(const space *s, const lev_plan_limits *limits,
                             lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face f = *s->face;
    lev_plan_ladder x;
    double charged = 0.0;
    if (!lev_known(f.budget_um))
        return LEV_OK;
    f.budget_um = f.budget_um * 1e4;
    LEV_TRY(solve_changed(&f, limits, &x, &charged, err));
    if (x.n == 0)
        goto out;
    /* a finer unit comes with a smaller budget: prove it at the figure itself */
    f.budget_um = ceil(charged * 1.05);
    LEV_TRY(solve_changed(&f, limits, &x, NULL, err));
    snprintf(r->why_not, sizeof r->why_not,
             "At edges and with the usual doubt at least %.3g um may go, and only %.3g "
             "um are there",
             charged, s->face->budget_um);
    if (x.n > 0) {
        double start_um = 0.0;
        LEV_TRY(find_start(s, limits, &start_um, err));
        const int n = snprintf(r->would_help, sizeof r->would_help,
                               "With %.0f um to spare", f.budget_um);
        if (start_um >= 1.0)
            snprintf(r->would_help + n, sizeof r->would_help - (size_t)n,
                     ", or a start no deeper than %.0f um", start_um);
    }
out:
    return st;
}

static lev_status try_sheets(const space *s, const lev_plan_limits *limits,
                             lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face f = *s->face;
    lev_face_medium *media = NULL;
    lev_plan_ladder x;
    if (f.media_n == 0)
        return LEV_OK;
    LEV_TRY(lev_mem_new((size_t)f.media_n, sizeof *media, (void **)&media, err));
    memcpy(media, f.media, (size_t)f.media_n * sizeof *media);
    for (ptrdiff_t i = 0; i < f.media_n; i++)
        media[i].count = INFINITY;
    f.media = media;
    LEV_TRY(solve_changed(&f, limits, &x, NULL, err));
    if (x.n > 0) {
        snprintf(r->why_not, sizeof r->why_not, "The drawer runs out of sheets");
        snprintf(r->would_help, sizeof r->would_help,
                 "With more sheets of the same kinds");
    }
out:
    lev_mem_free(media);
    return st;
}

static lev_status try_drives(const space *s, const lev_plan_limits *limits,
                             lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face f = *s->face;
    lev_plan_ladder x;
    if (f.drives_n == 0)
        return LEV_OK;
    f.drives_n = 0;
    LEV_TRY(solve_changed(&f, limits, &x, NULL, err));
    if (x.n > 0) {
        snprintf(r->why_not, sizeof r->why_not,
                 "The drives named cannot do it with these media");
        snprintf(r->would_help, sizeof r->would_help, "With another drive");
    }
out:
    return st;
}

/* One more medium like an old one, of another size. */
static lev_status try_medium(const space *s, const lev_plan_limits *limits,
                             lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face f = *s->face;
    lev_face_medium *media = NULL;
    lev_plan_ladder x;
    if (f.media_n == 0)
        return LEV_OK;
    LEV_TRY(lev_mem_new((size_t)f.media_n + 1, sizeof *media, (void **)&media, err));
    memcpy(media, f.media, (size_t)f.media_n * sizeof *media);
    f.media = media;
    lev_face_medium *extra = media + f.media_n++;
    double finest = INFINITY;
    for (ptrdiff_t i = 0; i + 1 < f.media_n; i++)
        if (media[i].d50_um < finest) {
            finest = media[i].d50_um;
            *extra = media[i];
        }
    extra->count = INFINITY;
    for (int k = 1; k <= 12 && r->would_help[0] == '\0'; k++) {
        /* down to a hundredth and up to some eight times the finest, in turns */
        const double d = finest * pow(k % 2 != 0 ? 0.5 : 1.5, (k + 1) / 2);
        extra->grain.mu_ln_um += log(d / extra->d50_um);
        extra->grain.top_um *= d / extra->d50_um;
        extra->d50_um = d;
        LEV_TRY(solve_changed(&f, limits, &x, NULL, err));
        if (x.n == 0)
            continue;
        snprintf(r->why_not, sizeof r->why_not, "A size is missing among the media");
        snprintf(r->would_help, sizeof r->would_help,
                 "With one more medium of about %.2g um", d);
    }
out:
    lev_mem_free(media);
    return st;
}

static lev_status try_target(const space *s, const lev_plan_limits *limits,
                             lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face f = *s->face;
    lev_plan_ladder x;
    if (!lev_known(f.target.ra_max_um) || !isfinite(s->best_ra_um))
        return LEV_OK;
    f.target.ra_max_um =
        ceil(fmax(s->best_ra_um, f.target.ra_max_um) * 1.3 * 1e3) / 1e3;
    f.target.ra_max_lnsd = 0.0; /* told as Ra it is certain */
    LEV_TRY(solve_changed(&f, limits, &x, NULL, err));
    if (x.n > 0) {
        if (s->best_ra_um > s->face->target.ra_max_um)
            snprintf(r->why_not, sizeof r->why_not,
                     "The finest that is at hand surely leaves Ra %.2g um, and %.2g um "
                     "are asked for",
                     s->best_ra_um, s->face->target.ra_max_um);
        else
            snprintf(r->why_not, sizeof r->why_not,
                     "What leaves Ra %.2g um cannot take the start off as well",
                     s->face->target.ra_max_um);
        snprintf(r->would_help, sizeof r->would_help, "With a target of Ra %.2g um",
                 f.target.ra_max_um);
    }
out:
    return st;
}

lev_status help_find(const space *s, const lev_plan_limits *limits, lev_face_result *r,
                     lev_error *err)
{
    lev_status st = LEV_OK;
    lev_status (*const tries[])(const space *, const lev_plan_limits *,
                                lev_face_result *, lev_error *) = {
        try_budget, try_sheets, try_drives, try_medium, try_target};
    for (size_t i = 0; i < sizeof tries / sizeof *tries && r->would_help[0] == '\0';
         i++)
        LEV_TRY(tries[i](s, limits, r, err));
    if (r->why_not[0] != '\0')
        goto out;
    if (s->n == 0)
        snprintf(r->why_not, sizeof r->why_not,
                 "None of the media fits the drives and the face");
    else
        snprintf(r->why_not, sizeof r->why_not,
                 "No ladder of these media reaches the target, and no single change "
                 "tried gives one");
out:
    return st;
}
