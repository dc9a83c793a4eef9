/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Makes a store with so many log entries, for bench_store.py: bench_store_fill FILE N
 */
#include <stdio.h>
#include <stdlib.h>

#include "store_fill.h"

int main(int argc, char **argv)
{
    lev_store *s = NULL;
    lev_error err = {0};
    if (argc != 3)
        return 2;
    const long n = strtol(argv[2], NULL, 10); /* a hundred entries a job */
    lev_status st =
        lev_store_open(argv[1], &(lev_store_options){.write = true}, &s, &err);
    if (st >= 0)
        st = fill_store(s, 1, (int)(n / 100) + 1, (int)n, &err);
    lev_store_close(s);
    if (st < 0)
        (void)fprintf(stderr, "bench_store_fill: %s\n", err.text);
    return st < 0;
}
