/* SPDX-License-Identifier: GPL-3.0-or-later */
/* FFTW behind one planner lock: only executing a plan is safe from several threads. */
#include "optics_fft.h"

static void lock_planner(const lev_plan_lock *lock)
{
    if (lock != NULL)
        lock->lock(lock->ctx);
}

static void unlock_planner(const lev_plan_lock *lock)
{
    if (lock != NULL)
        lock->unlock(lock->ctx);
}

static lev_status run(fftw_plan plan, const lev_plan_lock *lock, lev_error *err)
{
    if (plan == NULL)
        return lev_fail(err, LEV_E_MEMORY, "no memory to plan a transform");
    fftw_execute(plan);
    lock_planner(lock);
    fftw_destroy_plan(plan);
    unlock_planner(lock);
    return LEV_OK;
}

lev_status lev_fft_complex(fftw_complex *a, ptrdiff_t nx, ptrdiff_t ny,
                           const lev_plan_lock *lock, lev_error *err)
{
    lock_planner(lock);
    const fftw_plan plan =
        fftw_plan_dft_2d((int)ny, (int)nx, a, a, FFTW_FORWARD, FFTW_ESTIMATE);
    unlock_planner(lock);
    return run(plan, lock, err);
}

lev_status lev_fft_forward(double *a, ptrdiff_t nx, ptrdiff_t ny,
                           const lev_plan_lock *lock, lev_error *err)
{
    lock_planner(lock);
    const fftw_plan plan =
        fftw_plan_dft_r2c_2d((int)ny, (int)nx, a, (fftw_complex *)a, FFTW_ESTIMATE);
    unlock_planner(lock);
    return run(plan, lock, err);
}

lev_status lev_fft_back(double *a, ptrdiff_t nx, ptrdiff_t ny,
                        const lev_plan_lock *lock, lev_error *err)
{
    lock_planner(lock);
    const fftw_plan plan =
        fftw_plan_dft_c2r_2d((int)ny, (int)nx, (fftw_complex *)a, a, FFTW_ESTIMATE);
    unlock_planner(lock);
    return run(plan, lock, err);
}
