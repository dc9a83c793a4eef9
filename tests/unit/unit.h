/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every unit test includes: cmocka with its prerequisites and our comparisons. */
#ifndef UNIT_H
#define UNIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "levigate/status.h"
#include "num.h"

/* Doubles within a relative tolerance (and an absolute one for values near zero). */
#define assert_near(a, b, rtol)                                                        \
    assert_near_at((a), (b), (rtol), 0.0, __FILE__, __LINE__)
#define assert_near_abs(a, b, atol)                                                    \
    assert_near_at((a), (b), 0.0, (atol), __FILE__, __LINE__)

static inline void assert_near_at(double a, double b, double rtol, double atol,
                                  const char *file, int line)
{
    if (lev_near(a, b, rtol, atol))
        return;
    print_error("%.17g is not %.17g within rtol %g atol %g\n", a, b, rtol, atol);
    _fail(file, line);
}

#define assert_ok(expr, err)                                                           \
    do {                                                                               \
        const lev_status st_ = (expr);                                                 \
        if (st_ < 0) {                                                                 \
            print_error("%s: %s\n", #expr, (err)->text);                               \
            _fail(__FILE__, __LINE__);                                                 \
        }                                                                              \
    } while (0)

#endif
