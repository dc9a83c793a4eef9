/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Prints every row of the grit table as the library sees it, for test_units.py:
 * system, label, method, size, mark and source, parted by tabs. */
#include <stdio.h>

#include "levigate/grit.h"

int main(void)
{
    for (int i = 0; i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        printf("%s\t%s\t%s\t%.17g\t%s\t%s\n", g.system, g.label, g.method, g.d50_um,
               lev_mark_name(g.mark), g.source);
    }
    return 0;
}
