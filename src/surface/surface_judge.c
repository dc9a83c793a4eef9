/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Has a step done its work? Depth first, then direction, then the mean roughness: an
 * average never clears a face that a deep line or an old direction keeps. */
#include "surface_inner.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

const char *lev_verdict_text(lev_verdict v)
{
    if (v == LEV_VERDICT_NEXT_GRIT)
        return "next-grit";
    return v == LEV_VERDICT_KEEP_AT_IT ? "keep-at-it" : "cannot-tell";
}

/* Angle between two directions of lines, 0 .. 90. */
static double between_deg(double a, double b)
{
    const double d = fabs(fmod(a - b, 180.0));
    return d > 90.0 ? 180.0 - d : d;
}

__attribute__((format(printf, 3, 4))) static void
judge_text(lev_judgement *j, lev_verdict v, const char *format, ...)
{
    va_list ap;
    j->verdict = v;
    va_start(ap, format);
    (void)vsnprintf(j->reason, sizeof j->reason, format, ap);
    va_end(ap);
}

/* Lines in the old direction: their number and the deepest. */
static void count_old(const lev_expected *want, const lev_lines *l, lev_judgement *j)
{
    for (ptrdiff_t i = 0; i < l->n; i++) {
        if (between_deg(l->line[i].direction_deg, want->old_deg) >
            lev_texture("old_turn_deg"))
            continue;
        j->old_lines++;
        j->worst_um = fmax(j->worst_um, l->line[i].depth_um);
    }
}

static bool directions_part(const lev_expected *want)
{
    return want->has_direction && !want->no_lay &&
           between_deg(want->old_deg, want->new_deg) >= lev_texture("cross_min_deg");
}

/* What speaks for more work; true when something does. */
static bool keeps(const lev_expected *want, const lev_seen *seen, lev_judgement *j)
{
    if (want->deepest_um > 0.0 &&
        seen->deepest_um > lev_texture("keep_depth") * want->deepest_um) {
        j->worst_um = seen->deepest_um;
        judge_text(j, LEV_VERDICT_KEEP_AT_IT,
                   "a mark %.2g um deep is deeper than this step leaves (%.2g um)",
                   seen->deepest_um, want->deepest_um);
        return true;
    }
    if (directions_part(want) && seen->lines != NULL) {
        count_old(want, seen->lines, j);
        if (j->old_lines > 0) {
            judge_text(j, LEV_VERDICT_KEEP_AT_IT,
                       "%d line%s left in the old direction, the deepest %.2g um",
                       j->old_lines, j->old_lines > 1 ? "s" : "", j->worst_um);
            return true;
        }
    }
    if (want->Ra_um.p90 > 0.0 &&
        seen->Ra_um > lev_texture("keep_ra") * want->Ra_um.p90) {
        judge_text(j, LEV_VERDICT_KEEP_AT_IT,
                   "mean roughness %.2g um is above what this step leaves (to %.2g um)",
                   seen->Ra_um, want->Ra_um.p90);
        return true;
    }
    return false;
}

void lev_judge(const lev_expected *want, const lev_seen *seen, lev_judgement *out)
{
    lev_judgement j = {0};
    const bool depth = want->deepest_um > 0.0 && !isnan(seen->deepest_um);
    const bool mean = want->Ra_um.p90 > 0.0 && !isnan(seen->Ra_um);
    const bool map = seen->lines != NULL, parted = map && directions_part(want);
    if (keeps(want, seen, &j)) {
        *out = j;
        return;
    }
    j.worst_um = isnan(seen->deepest_um) ? 0.0 : seen->deepest_um;
    if (!depth && !mean && !parted)
        judge_text(&j, LEV_VERDICT_CANNOT_TELL,
                   "nothing is known of what this step should leave");
    else if (want->no_lay)
        judge_text(&j, LEV_VERDICT_CANNOT_TELL,
                   "marks run every way: old lines cannot be told from new ones");
    else if (map && want->has_direction && !parted)
        judge_text(
            &j, LEV_VERDICT_CANNOT_TELL,
            "old and new marks run within %.0f degrees of each other: cross them",
            lev_texture("cross_min_deg"));
    else if (!depth && !parted)
        judge_text(&j, LEV_VERDICT_CANNOT_TELL,
                   "mean roughness fits, but a deep line could hide in it");
    else if (parted)
        judge_text(&j, LEV_VERDICT_NEXT_GRIT,
                   "no line is left in the old direction and none is too deep");
    else if (map)
        judge_text(&j, LEV_VERDICT_NEXT_GRIT,
                   "no mark is deeper than this step leaves");
    else
        judge_text(&j, LEV_VERDICT_NEXT_GRIT,
                   "no mark is too deep on %.2g mm; look over the whole face too",
                   seen->length_mm);
    *out = j;
}
