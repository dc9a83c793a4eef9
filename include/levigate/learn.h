/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a shop's own log teaches: multiplicative factors on the model's predictions.
 *
 * Everything happens on logarithms, y = ln(what was / what the model said). Bayesian
 * linear regression with a normal-inverse-gamma prior gives exact posteriors and a
 * Student-t for the next entry. Factors are pooled in part: a new person on a known
 * material starts from what the shop knows of the material. Plain structs, no I/O. */
#ifndef LEVIGATE_LEARN_H
#define LEVIGATE_LEARN_H

#include <stddef.h>

#include "levigate/spread.h"
#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Student's t ---- */

typedef struct lev_student {
    double dof, loc, scale; /* dof > 0, scale >= 0 */
} lev_student;

/** Distribution function at x; absolute error below 1e-12. */
double lev_student_cdf(lev_student s, double x);

/** Its inverse for 0 < p < 1; relative error about 1e-10. */
double lev_student_quantile(lev_student s, double p);

/* ---- normal-inverse-gamma regression ---- */

enum {
    LEV_NIG_MAX = 512
}; /* most coefficients: more levels than a shop has names for */

/*
 * y = x'beta + e, e ~ N(0, s2/weight); beta | s2 ~ N(m, s2 inverse(Lambda)),
 * s2 ~ inverse gamma(a, b). Lambda is kept as its triangular root R, Lambda = R'R, and
 * grows by one orthogonal rotation an entry (never by forming X'X), which keeps the
 * digits of badly scaled problems. Source: Gelman, Carlin, Stern, Dunson, Vehtari,
 * Rubin, Bayesian Data Analysis, 3rd ed. (2013), ch. 14; rotations: Golub & Van Loan,
 * Matrix Computations, 4th ed. (2013), 6.5.
 */
typedef struct lev_nig {
    int k;
    ptrdiff_t n;     /* entries taken in */
    double a, b;     /* of s2; the residual sum of squares so far is 2 (b - b0) */
    double a0, b0;   /* as they were in the prior */
    double log_det0; /* ln of the determinant of the prior's Lambda; -inf if singular */
    double log_weight;      /* sum of ln(weight) */
    double *root, *z, *row; /* k x k upper triangle; R m; scratch; owned */
} lev_nig;

/**
 * Start from a prior.
 * @param k          coefficients, 1..LEV_NIG_MAX
 * @param m0         prior mean, k numbers; NULL for zeros
 * @param lambda0    k x k, symmetric, positive semidefinite; NULL for no prior at all
 * @param a0, b0     of s2, >= 0 (both 0: no prior)
 * @return LEV_OK; LEV_E_RANGE for a matrix that is not semidefinite or a bad number
 */
lev_status lev_nig_init(lev_nig *s, int k, const double *m0, const double *lambda0,
                        double a0, double b0, lev_error *err);
void lev_nig_release(lev_nig *s);

/** Take in one entry: k numbers x, the value y, its weight >= 0. */
void lev_nig_add(lev_nig *s, const double *x, double y, double weight);

/** Posterior mean, k numbers. LEV_E_RANGE while the entries do not determine it. */
lev_status lev_nig_mean(const lev_nig *s, double *m, lev_error *err);

/** Posterior Lambda, k x k. */
void lev_nig_lambda(const lev_nig *s, double *out);

/** x' inverse(Lambda) x: variance of x'beta in units of s2. LEV_E_RANGE as above. */
lev_status lev_nig_leverage(const lev_nig *s, const double *x, double *out,
                            lev_error *err);

/** Distribution of a new y at x; noise = 1 for a new entry, 0 for x'beta itself. */
lev_status lev_nig_predict(const lev_nig *s, const double *x, double noise,
                           lev_student *out, lev_error *err);

/** ln of the probability density of all entries taken in; NaN for an improper prior. */
double lev_nig_log_evidence(const lev_nig *s);

/* ---- factors with partial pooling ---- */

/* What a prediction belongs to; a level is a number from 0, the same for the same name.
 * Material is nested in family, the rest is crossed. */
typedef enum lev_pool_by {
    LEV_POOL_FAMILY,
    LEV_POOL_MATERIAL,
    LEV_POOL_DRIVE,
    LEV_POOL_MINERAL,
    LEV_POOL_WHO,
    LEV_POOL_BY_N
} lev_pool_by;

typedef struct lev_pool_cell {
    int level[LEV_POOL_BY_N]; /* -1: not seen before */
} lev_pool_cell;

/* One entry of the log: y = ln(actual / predicted). */
typedef struct lev_pool_fact {
    int cell; /* index into the cells */
    double y;
    double variance; /* of reading it off ("about ten"), on top of the noise; >= 0 */
} lev_pool_fact;

/* How far things differ before anything is logged: standard deviations of ln. */
typedef struct lev_pool_prior {
    double shop;              /* of the whole shop from the model */
    double by[LEV_POOL_BY_N]; /* of one level from the shop */
    double cell;              /* of one combination from the sum of its levels */
    double noise;             /* of one entry from its combination, > 0 */
    double noise_dof;         /* how sure of the noise: 2a of its inverse gamma, > 0 */
    double outlier_dof;       /* tails of the entries: Student dof; 0 = normal, exact */
} lev_pool_prior;

typedef struct lev_pool lev_pool;

/**
 * Fit all entries at once.
 *
 * The effect of each combination is integrated out in closed form, so cost grows with
 * the levels, not with the entries. With outlier_dof > 0 entries far out are weighted
 * down by (dof + 1)/(dof + r2) until nothing moves, starting from the prior, so that
 * the first wild entry is not believed either; this leaves exact conjugacy. Source of
 * the weights: Lange, Little & Taylor, J. Am. Stat. Assoc. 84 (1989) 881.
 * @param cells  distinct combinations
 * @return LEV_OK; LEV_E_RANGE for a prior or an entry out of range; LEV_E_LIMIT for
 * more levels than LEV_NIG_MAX
 */
lev_status lev_pool_fit(const lev_pool_prior *prior, const lev_pool_cell *cells,
                        ptrdiff_t cells_n, const lev_pool_fact *facts,
                        ptrdiff_t facts_n, lev_pool **out, lev_error *err);
void lev_pool_free(lev_pool *p);

/* A factor as learned so far. */
typedef struct lev_factor {
    double factor;          /* median; multiply the model's prediction by it */
    lev_spread factor_band; /* of the factor itself */
    lev_spread next;        /* of actual / model for one next entry */
    double lnsd;            /* of the factor, as log-sd for the planner */
    double share;           /* 0 nothing from the log .. 1 all of it */
    ptrdiff_t same;         /* entries of this very combination */
    ptrdiff_t all;          /* entries the fit rests on */
    lev_student ln_factor, ln_next;
} lev_factor;

/** The factor for a combination, also one never seen. */
lev_status lev_pool_factor(const lev_pool *p, const lev_pool_cell *cell,
                           lev_factor *out, lev_error *err);

/** Weight 0..1 the fit gave to entry i (1 with outlier weighting off). */
double lev_pool_weight(const lev_pool *p, ptrdiff_t i);

#ifdef __cplusplus
}
#endif
#endif
