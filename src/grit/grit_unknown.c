/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to say about a marking nobody uses: its neighbours by number where it has one,
 * else by edit distance. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "grit_table.h"
#include "lev_tables.h"

enum { NEAREST = 3 };

/* The systems a marking's letter points to: those with that letter, else P. */
static bool points_to(const char *key, const char *systems, const char *system)
{
    const char *prefix = lev_grit_prefix(system);
    const size_t n = strcspn(key, "0123456789");
    if (*systems != '\0')
        return lev_text_in_list(system, systems);
    if (n == 0)
        return strcmp(system, "P") == 0;
    return strlen(prefix) == n && strncmp(prefix, key, n) == 0;
}

/* Rows with the next lower and next higher number. */
static void neighbours(const char *key, const char *systems, double number, int *low,
                       int *high)
{
    double below = -INFINITY, above = INFINITY;
    for (int i = 0; i < LEV_TAB_GRIT_N; i++) {
        char have[LEV_GRIT_KEY];
        if (!points_to(key, systems, lev_tab_grit[i].system))
            continue;
        lev_grit_key(lev_tab_grit[i].label, have);
        const double x = lev_grit_key_number(have);
        if (x < number && x > below) {
            below = x;
            *low = i;
        }
        if (x > number && x < above) {
            above = x;
            *high = i;
        }
    }
}

static bool is_listed(const int *best, int n, int row)
{
    for (int i = 0; i < n; i++)
        if (strcmp(lev_tab_grit[best[i]].label, lev_tab_grit[row].label) == 0)
            return true;
    return false;
}

/* The labels fewest slips away, each once. */
static int nearest_labels(const char *key, const char *systems, int best[NEAREST])
{
    int n = 0;
    const int most = (int)strlen(key) / 2 + 1;
    for (int slips = 0; slips <= most && n < NEAREST; slips++) {
        for (int i = 0; i < LEV_TAB_GRIT_N && n < NEAREST; i++) {
            char have[LEV_GRIT_KEY];
            if (*systems != '\0' && !lev_text_in_list(lev_tab_grit[i].system, systems))
                continue;
            lev_grit_key(lev_tab_grit[i].label, have);
            if (lev_text_distance(have, key) == slips && !is_listed(best, n, i))
                best[n++] = i;
        }
    }
    return n;
}

lev_status lev_grit_unknown(const char *marking, const char *key, const char *systems,
                            lev_error *err)
{
    int low = -1, high = -1, best[NEAREST] = {0};
    const double number = lev_grit_key_number(key);
    if (!isnan(number))
        neighbours(key, systems, number, &low, &high);
    if (low >= 0 && high >= 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "\"%s\" is no marking in use; nearest: %s, %s", marking,
                        lev_tab_grit[low].label, lev_tab_grit[high].label);
    if (low >= 0 || high >= 0) {
        const lev_row_grit *end = &lev_tab_grit[low >= 0 ? low : high];
        return lev_fail(err, LEV_E_UNKNOWN,
                        "\"%s\" is no marking in use; nearest: %s, where %s %s",
                        marking, end->label, end->system, low >= 0 ? "ends" : "begins");
    }
    const int n = nearest_labels(key, systems, best);
    if (n == 0)
        return lev_fail(
            err, LEV_E_UNKNOWN,
            "\"%s\" is no marking in use; give it as printed, such as P220, "
            "#1000, F320, D46 or 9 um",
            marking);
    return lev_fail(err, LEV_E_UNKNOWN,
                    "\"%s\" is no marking in use; nearest: %s%s%s%s%s", marking,
                    lev_tab_grit[best[0]].label, n > 1 ? ", " : "",
                    n > 1 ? lev_tab_grit[best[1]].label : "", n > 2 ? ", " : "",
                    n > 2 ? lev_tab_grit[best[2]].label : "");
}
