/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sieve numbers: 140 mesh, -140+170, 140/170. A mesh number counts wires, a grit number
 * is a label; the opening is what the wires leave. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "grit_table.h"
#include "lev_tables.h"
#include "levigate/note.h"
#include "num.h"

/* Row of the numbered sieve, -1 unknown. */
static int sieve_row(double number)
{
    for (int i = 0; i < LEV_TAB_SIEVE_N; i++) {
        const char *d = lev_tab_sieve[i].designation;
        double have = 0.0;
        if (strncmp(d, "No. ", 4) == 0 && lev_num_parse(d + 4, false, &have) &&
            lev_near(have, number, 0.0, 1e-9))
            return i;
    }
    return -1;
}

static bool any_sieve_word(const lev_grit_tokens *t)
{
    for (int i = 0; i < t->n; i++) {
        const char *value = "";
        if (strcmp(lev_grit_word_role(t->t[i].text, &value), "sieve") == 0)
            return true;
    }
    return false;
}

static void fill(lev_grit *g, int passes, int stays)
{
    const lev_row_sieve *a = &lev_tab_sieve[passes];
    *g = lev_grit_blank();
    g->system = "sieve";
    g->method = "sieve";
    g->kind = "sieve";
    g->mark = a->mark;
    g->source = lev_tab_source[a->source].citation;
    g->notes =
        LEV_NOTE_RANGE_ONLY | (a->mark == LEV_MARK_MEMORY ? LEV_NOTE_MEMORY : 0U);
    if (stays < 0) {
        (void)snprintf(g->label, sizeof g->label, "%.20s sieve", a->designation);
        g->max_um = a->aperture_um;
        g->note = "all that passes this opening: how much finer is not said";
        return;
    }
    const lev_row_sieve *b = &lev_tab_sieve[stays];
    (void)snprintf(g->label, sizeof g->label, "%.8s/%.8s mesh", a->designation + 4,
                   b->designation + 4);
    g->coarse_um = a->aperture_um;
    g->fine_um = b->aperture_um;
    g->d50_um = sqrt(a->aperture_um * b->aperture_um);
    g->mark = lev_mark_weaker(lev_mark_weaker(a->mark, b->mark), LEV_MARK_DERIVED);
    g->note = "passes the first sieve, stays on the second; the middle is derived";
}

bool lev_grit_read_sieve(const lev_grit_tokens *t, lev_grit_reading *out,
                         lev_status *st, lev_error *err)
{
    double x[2] = {0.0, 0.0};
    int n = 0;
    bool signs = false, slash = false;
    for (int i = 0; i < t->n; i++) {
        if (t->t[i].type == LEV_TOKEN_NUMBER && n < 2)
            x[n++] = t->t[i].value;
        else if (t->t[i].type == LEV_TOKEN_NUMBER)
            return false;
        signs = signs || strcmp(t->t[i].text, "+") == 0;
        slash =
            slash || strcmp(t->t[i].text, "/") == 0 || strcmp(t->t[i].text, "-") == 0;
        if (!any_sieve_word(t) && t->t[i].type == LEV_TOKEN_WORD)
            return false;
    }
    const bool worded = any_sieve_word(t);
    const bool pair = n == 2 && (signs || (slash && x[0] < x[1]));
    if (!(worded && n > 0) && !pair)
        return false;
    const int a = sieve_row(fmin(x[0], n == 2 ? x[1] : x[0]));
    const int b = n == 2 ? sieve_row(fmax(x[0], x[1])) : -1;
    if (a < 0 || (n == 2 && b < 0)) {
        if (!worded && !signs)
            return false; /* a range in micrometres, perhaps */
        *st = lev_fail(err, LEV_E_UNKNOWN,
                       "no sieve has the number %g; No. 4 to No. 635 of ASTM E11",
                       a < 0 ? fmin(x[0], n == 2 ? x[1] : x[0]) : fmax(x[0], x[1]));
        return true;
    }
    lev_grit g;
    fill(&g, a, b);
    lev_grit_reading_add(out, &g);
    *st = LEV_OK;
    return true;
}
