/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mkdata OUTDIR FILE.csv... compiles the tables of data/ into OUTDIR/lev_tables.h and
 * OUTDIR/lev_tables.c. It refuses a row without a source, a mark or unit outside the
 * closed lists, and a number that is not one; data/README.md tells the dialect.
 * Nothing is written unless every file is in order. Exit: 0 done, 1 refused.
 */
#include <stdlib.h>
#include <string.h>

#include "mkdata.h"

static int by_text(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

int main(int argc, char **argv)
{
    base *b;

    if (argc < 3)
        refuse_file("usage", "too few arguments", "mkdata OUTDIR FILE.csv...");
    b = take(sizeof *b);
    qsort(argv + 2, (size_t)(argc - 2), sizeof *argv, by_text);
    for (int i = 2; i < argc; i++)
        read_file(b, argv[i]);
    check_base(b);
    warn_base(b);
    write_base(argv[1], b);
    release_all();
    return 0;
}
