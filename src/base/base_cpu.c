/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Asks the compiler's run-time support. See cpu.h. */
#include "cpu.h"

unsigned lev_cpu_flags(void)
{
#ifdef HAVE_CPU_SUPPORTS_AVX2
    return __builtin_cpu_supports("avx2") ? LEV_CPU_AVX2 : 0U;
#else
    return 0U;
#endif
}
