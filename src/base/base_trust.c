/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names and order of the marks of trust; the list itself stands in trust.h.
 */
#include "levigate/trust.h"

typedef struct mark_row {
    const char *name;
    const char *meaning;
    int rank;
} mark_row;

static const mark_row marks[] = {{"unset", "", 0},
#define MARK_ROW(name, text, rank, meaning) {text, meaning, rank},
                                 LEV_MARK_LIST(MARK_ROW)
#undef MARK_ROW
};

static const mark_row *mark_find(lev_mark mark)
{
    const int i = (int)mark;

    return i > 0 && i < (int)LEV_MARK_END ? &marks[i] : &marks[0];
}

const char *lev_mark_name(lev_mark mark)
{
    return mark_find(mark)->name;
}

const char *lev_mark_meaning(lev_mark mark)
{
    return mark_find(mark)->meaning;
}

lev_mark lev_mark_weaker(lev_mark a, lev_mark b)
{
    return mark_find(a)->rank >= mark_find(b)->rank ? a : b;
}
