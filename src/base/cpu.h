/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the processor can do, as far as a kernel of ours asks. */
#ifndef BASE_CPU_H
#define BASE_CPU_H

#ifdef __cplusplus
extern "C" {
#endif

enum { LEV_CPU_AVX2 = 1U };

/** The features present, or-ed; 0 on a processor we have no fast kernels for. */
unsigned lev_cpu_flags(void);

#ifdef __cplusplus
}
#endif
#endif
