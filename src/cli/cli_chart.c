/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate chart */
#include "app_chart.h"
#include "cli_out.h"

int lev_cmd_chart(const lev_args *args)
{
    lev_error err = {0};
    const char *path = lev_args_text(args, "output");
    const char *paper = lev_args_text(args, "paper");
    lev_status st =
        path != NULL ? lev_app_chart(path, paper != NULL ? paper : "A2", &err)
                     : lev_fail(&err, LEV_E_USAGE,
                                "-o is missing; chart wants -o FILE.pdf or FILE.svg");
    (void)lev_fail_at(&err, st, "chart");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
