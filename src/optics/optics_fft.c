/* SPDX-License-Identifier: GPL-3.0-or-later */
/* FFTW's planner is one for the whole process and only executing a plan is safe from
 * several threads; so whatever plans waits here. Nothing else in the program plans. */
#include "optics_fft.h"

#include <pthread.h>

static pthread_mutex_t planner = PTHREAD_MUTEX_INITIALIZER;

static lev_status run(fftw_plan plan, lev_error *err)
{
    if (plan == NULL)
        return lev_fail(err, LEV_E_MEMORY, "no memory to plan a transform");
    fftw_execute(plan);
    (void)pthread_mutex_lock(&planner);
    fftw_destroy_plan(plan);
    (void)pthread_mutex_unlock(&planner);
    return LEV_OK;
}

lev_status lev_fft_complex(fftw_complex *a, ptrdiff_t nx, ptrdiff_t ny, lev_error *err)
{
    (void)pthread_mutex_lock(&planner);
    const fftw_plan plan =
        fftw_plan_dft_2d((int)ny, (int)nx, a, a, FFTW_FORWARD, FFTW_ESTIMATE);
    (void)pthread_mutex_unlock(&planner);
    return run(plan, err);
}

lev_status lev_fft_forward(double *a, ptrdiff_t nx, ptrdiff_t ny, lev_error *err)
{
    (void)pthread_mutex_lock(&planner);
    const fftw_plan plan =
        fftw_plan_dft_r2c_2d((int)ny, (int)nx, a, (fftw_complex *)a, FFTW_ESTIMATE);
    (void)pthread_mutex_unlock(&planner);
    return run(plan, err);
}

lev_status lev_fft_back(double *a, ptrdiff_t nx, ptrdiff_t ny, lev_error *err)
{
    (void)pthread_mutex_lock(&planner);
    const fftw_plan plan =
        fftw_plan_dft_c2r_2d((int)ny, (int)nx, (fftw_complex *)a, a, FFTW_ESTIMATE);
    (void)pthread_mutex_unlock(&planner);
    return run(plan, err);
}
