/* Made from data/ by tools/mkdata.c; edit the CSV files instead. */
#include "lev_tables.h"

#include <math.h>

/* Empty cells; no <limits.h>, whose name a folder of the tree may shadow. */
#define UNKNOWN ((double)NAN)
#define NO_INT (-2147483647 - 1)
_Static_assert(sizeof(int) == 4, "NO_INT is INT_MIN");

const lev_row_source lev_tab_source[] = {
    {"none", "No published source", NO_INT, "none", ""},
    {"iso-1", "A standard", 2001, "standard", ""},
    {"shop-1", "A shop text", NO_INT, "text", ""},
};

const lev_row_t lev_tab_t[] = {
    {"a", 1.0, LEV_MARK_READ, 1},
    {"b", UNKNOWN, LEV_MARK_PRACTICE, 0},
};

const lev_row_unit lev_tab_unit[] = {
    {"um", "micrometre", LEV_MARK_DERIVED, 1},
    {"m_s", "metre a second", LEV_MARK_DERIVED, 2},
    {"s", "second", LEV_MARK_DERIVED, 0},
};
