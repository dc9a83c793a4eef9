/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step of finishing: what an abrasive (or a file, scraper, plane, lathe tool,
 * burnisher, buff) leaves on the work, how fast it cuts, how long it lasts, and how the
 * marks of what came before die under it.
 *
 * Everything here is deterministic quadrature on plain structs: no random numbers, no
 * I/O, no state. Formulas, letters, sources and range: doc/physics/cutting.md; every
 * coefficient is a row of data/cut/. Depths are below the mean line unless said
 * otherwise; "face" is the surface being worked, "patch" the abrasive in contact. */
#ifndef LEVIGATE_CUT_H
#define LEVIGATE_CUT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/grain.h"
#include "levigate/spread.h"
#include "levigate/status.h"
#include "levigate/trust.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- What goes in ---- */

typedef enum lev_cut_family {
    LEV_CUT_METAL,
    LEV_CUT_WOOD,
    LEV_CUT_POLYMER,
    LEV_CUT_STONE,
    LEV_CUT_GLASS,
    LEV_CUT_COATING,
    LEV_CUT_FAMILIES /* how many */
} lev_cut_family;

/** "metal", "wood", ...; LEV_CUT_FAMILIES for a word that is none. */
lev_cut_family lev_cut_family_read(const char *word);

/* The work material. Zero in an optional field means not known: the usual value of the
 * family is assumed and LEV_NOTE_DEFAULT set in the result. */
typedef struct lev_cut_work {
    lev_cut_family family;
    double hardness_gpa;  /* indentation hardness, > 0 (1 GPa is about 100 HV) */
    double modulus_gpa;   /* Young's modulus, optional */
    double pore_floor_um; /* Ra of the wood's own pores, in quadrature; 0: none */
    int loading;          /* how much it clogs an abrasive: 0 never to 3 at once */
    bool galling;         /* smears and tears when dry (soft aluminium, stainless) */
    double conductivity_w_mk, density_kg_m3, heat_j_kgk; /* thermal, optional */
    double damage_c; /* temperature at which harm begins, optional */
    lev_mark mark;   /* the weakest of the marks of these figures */
} lev_cut_work;

typedef enum lev_cut_kind {
    LEV_CUT_GRIT, /* bonded, coated or loose grains */
    LEV_CUT_FILE, /* cross-filing */
    LEV_CUT_DRAW_FILE,
    LEV_CUT_SCRAPER, /* card scraper (wood), hand scraper (metal) */
    LEV_CUT_PLANE,
    LEV_CUT_LATHE,   /* one finishing cut of a turning tool */
    LEV_CUT_BURNISH, /* presses ridges down, removes nothing */
    LEV_CUT_BUFF,    /* grains on a soft wheel or cloth */
    LEV_CUT_GRAIN,   /* last strokes of grit, one way, fresh abrasive */
    LEV_CUT_KINDS    /* how many */
} lev_cut_kind;

typedef enum lev_cut_state {
    LEV_CUT_RUN_IN, /* the default: past the first minute */
    LEV_CUT_FRESH,
    LEV_CUT_TIRED
} lev_cut_state;

typedef enum lev_cut_fluid {
    LEV_CUT_DRY,
    LEV_CUT_WATER, /* with a drop of soap */
    LEV_CUT_SPIRIT,
    LEV_CUT_OIL,
    LEV_CUT_WAX,   /* wax or chalk on the tool */
    LEV_CUT_FLUIDS /* how many */
} lev_cut_fluid;

/* What cuts, and what moves it. Zero or NULL in an optional field: the usual value of
 * the drive is taken and LEV_NOTE_DEFAULT set. */
typedef struct lev_cut_tool {
    lev_cut_kind kind;
    lev_grain_dist grain;        /* kinds GRIT, BUFF and GRAIN only */
    const char *mineral;         /* id of the mineral table; NULL: like corundum */
    double mineral_hardness_gpa; /* 0: no correction for hardness */
    bool open_coat;
    const char *carrier; /* paper, cloth, film, foam, nonwoven, belt, disc, stone,
                            stick, powder, paste, wool; NULL: paper */
    const char *drive;   /* id of the drive table, e.g. "hand-wood", "orbital" */
    const char *backing; /* id of the backing table; NULL: the drive's own */
    const char *form;    /* other kinds: id of data/cut/steps.csv, e.g.
                            "file-second-cut"; NULL: the usual one of the kind */
    double push_n;       /* normal force, N; 0: the drive's usual */
    double contact_mm2;  /* area in contact; 0: the drive's, never more than the face */
    double speed_m_s;    /* sliding speed; 0: from the drive's kinematics */
    double feed_mm, nose_mm; /* LATHE: feed a turn and nose radius; 0: usual */
    lev_cut_state state;
    lev_cut_fluid fluid;
} lev_cut_tool;

/* ---- What comes out ---- */

/* The factors by which one shop differs from the median. Texture, relaxation and sheet
 * life are common to all steps; removal is one factor per drive, so a term carries the
 * slot of its drive (0 .. LEV_CUT_DRIVE_SLOTS-1). */
enum { LEV_CUT_DRIVE_SLOTS = 32 };

typedef enum lev_cut_factor {
    LEV_CUT_F_TEXTURE, /* multiplies Ra, Rz, deepest */
    LEV_CUT_F_RELAX,   /* multiplies every depth needed to clear old marks */
    LEV_CUT_F_REMOVAL, /* multiplies the rate of removal; one per drive */
    LEV_CUT_F_LIFE,    /* multiplies the life of a patch */
    LEV_CUT_FACTORS    /* how many */
} lev_cut_factor;

/* The grains of a step as the contact meets them: what a grain-by-grain simulation
 * needs to run the same step. Zero for steps without grains. */
typedef struct lev_cut_grains {
    double ln_sigma, top_um; /* of the sizes; top 0: none published */
    double cone_deg;         /* half-angle of a tip */
    double height_xi;        /* spread of tip heights */
    double coverage;         /* share of the sheet under grains */
    double levelled;         /* share of the touching tips cut down to one height */
    double removed_share;    /* f_ab */
    double hardness_gpa;     /* of the work */
    double rate;             /* rate of removal over 2 f_ab p / (pi H t) */
} lev_cut_grains;

/* One step, at the median of every factor. Plain data: copy it freely. */
typedef struct lev_cut_pass {
    lev_cut_kind kind;
    int drive_slot;         /* whose removal factor; LEV_CUT_DRIVE_SLOTS - 1: none */
    double d50_um;          /* median grain by volume; 0 without grains */
    double contact_mm2;     /* area really in contact */
    double pressure_kpa;    /* push over contact */
    double speed_m_s;       /* mean sliding speed */
    double backing_mpa;     /* E_b: modulus of what carries one grain */
    double pad_mpa, pad_mm; /* the pad behind the sheet: E / (1 - nu^2) and thickness;
                               0 where nothing soft stands behind */

    lev_cut_grains grains;

    /* Texture the step leaves when it alone has shaped the face. */
    double ra_um;      /* across the lay */
    double rz_um;      /* mean of five sampling lengths */
    double deepest_um; /* deepest line expected on the whole face, below mean */
    double ra_own_um;  /* ra_um without the pores of the wood */
    double ra_keep;    /* BURNISH only: share of the old Ra that stays; else 0 */

    /* Removal with a sharp patch, and its wear. */
    double patch_um_per_m;  /* depth off the patch's own area per metre of sliding */
    double face_um_per_min; /* depth off the whole face, patch moving over it */
    double patch_life_um;   /* M: all a patch can take off its own area, um */
    double floor_share;     /* rate of a dead patch over that of a sharp one, 0..1 */
    double change_s;        /* usual time to renew the patch */
    double face_mm2;        /* the area that face_um_per_min was computed for */

    /* How old marks die under it (see below). */
    double rho_long_um;  /* depth that cuts a long old wave by e */
    double short_per_um; /* what 1 um of removal adds to the short measure */
    double long_per_um;  /* and to the long one */
    double mark_c;       /* c of the law of deep marks */

    double lnsd[LEV_CUT_FACTORS]; /* log-sd of each factor for this step */
    lev_mark mark;                /* the weakest figure it rests on */
    unsigned notes;               /* lev_note bits */
} lev_cut_pass;

/**
 * Compute one step.
 *
 * @param face_mm2  area of the face, mm2, > 0: limits the contact, sets the rate on the
 *                  face and the number of lines among which the deepest is looked for
 * @return LEV_OK; LEV_E_RANGE if a figure is NaN, negative or zero where it must be
 *         positive; LEV_E_UNKNOWN for an id in no table
 * Notes say when pressure lies outside 0.5 to 100 kPa, when grain and work are too near
 * in hardness to cut, and what was assumed. Cost: some 20 us, no allocation.
 */
lev_status lev_cut_pass_init(const lev_cut_work *work, const lev_cut_tool *tool,
                             double face_mm2, lev_cut_pass *out, lev_error *err);

/** The same step in a shop that differs from the median by these factors, > 0. */
lev_cut_pass lev_cut_scaled(const lev_cut_pass *pass,
                            const double factor[LEV_CUT_FACTORS]);

/**
 * The same step with every factor at its unfavourable quantile: coarser texture, more
 * depth to clear, slower removal, shorter life. For what must hold, not for a forecast.
 * @param quantile  0.5 to 1 (exclusive): 0.95 for feasibility
 */
lev_cut_pass lev_cut_unfavourable(const lev_cut_pass *pass, double quantile);

/** Spread of Ra of the step (texture factor; the pores of wood do not vary with it). */
lev_spread lev_cut_ra_spread(const lev_cut_pass *pass);

/** Chance that one reading of Ra lies at or below limit_um; spread of readings over a
 * part (sd about 10 % practice row) is added to the texture factor, and limit_lnsd, the
 * log-sd of the limit where it stands for something else that is asked (0: none). */
double lev_cut_chance_below(const lev_cut_pass *pass, double limit_um,
                            double limit_lnsd);

/* ---- How old marks die ----
 * What is left of an old texture is the share of its own lines still there, never a
 * difference of Ra. It has two parts: short (no wider than the new grooves) and long.
 * Each step adds r * short_per_um and r * long_per_um to two measures, which add up
 * over any steps; what a texture has left depends on the two sums only. */

typedef struct lev_cut_measures {
    double w_short; /* sum of r_k * short_per_um of the steps after the texture */
    double w_long;  /* sum of r_k * long_per_um */
} lev_cut_measures;

/** m plus the removal of remove_um by this step. */
lev_cut_measures lev_cut_measures_add(lev_cut_measures m, const lev_cut_pass *pass,
                                      double remove_um);

/** Share of the lines of a texture left by grains of d_old_um after the measures m, 1
 * at none, falling to 0. */
double lev_cut_left(double d_old_um, lev_cut_measures m);

/** Two measures which together are enough to bring a texture of d_old_um to the share
 * left (0 < left < 1) or below: both reached is sufficient (and exact within 10 % of
 * left). Thresholds for a search that keeps the two sums apart. */
lev_cut_measures lev_cut_need(double d_old_um, double left);

/* The lines of one texture, looked up once for many questions. */
typedef struct lev_cut_lines {
    double short_scale; /* what the short measure is divided by, > 0 */
    double long_scale;  /* the same of the long one, > 0 */
    double long_share;  /* share of the lines that only the long measure takes, 0..1 */
} lev_cut_lines;

lev_cut_lines lev_cut_lines_of(double d_old_um);

/** As lev_cut_need for these lines. */
lev_cut_measures lev_cut_lines_need(lev_cut_lines lines, double left);

/** Depth one step must take off to bring a texture of d_old_um to the share left;
 * 0 where left >= 1, infinity where the step removes nothing. */
double lev_cut_clear_um(double d_old_um, const lev_cut_pass *pass, double left);

/** Share of the old texture that may stay so that its deepest line is at most what the
 * check can miss: miss (row of the check table) * new deepest / old deepest, at most 1.
 */
double lev_cut_left_allowed(const lev_cut_pass *old_pass, const lev_cut_pass *pass,
                            double miss);

/** Depth below which no old line can have gone, um: a line dies no faster than the face
 * around it comes down, so the deepest of them takes its own depth less what the check
 * can miss. It binds where the new grit is far finer than the old. */
double lev_cut_sunk_um(const lev_cut_pass *old_pass, const lev_cut_pass *pass,
                       double miss);

/** Depth to remove until the old lines are below what the check can miss, um: as the
 * lines of the old grains die, and never less than they are sunk. */
double lev_cut_clear_after_um(const lev_cut_pass *old_pass, const lev_cut_pass *pass,
                              double miss);

/** The short relaxation depth itself, um, for old grains d_old_um under new d_new_um at
 * pressure_kpa. */
double lev_cut_rho_short_um(double d_old_um, double d_new_um, double pressure_kpa);

/** Deep marks (saw, mill, file, pits): depth to remove from half height a0_um to a_um,
 * r = rho ln(a0/a) + c (a0 - a); 0 where a >= a0. */
double lev_cut_mark_depth_um(const lev_cut_pass *pass, double a0_um, double a_um);

/** The inverse: half height left of a0_um after remove_um. */
double lev_cut_mark_left_um(const lev_cut_pass *pass, double a0_um, double remove_um);

/** Depth that cuts a wave of this length by e on this pad: rho_long plus what a soft
 * pad follows. *full_contact_um (may be NULL) receives the half height up to which the
 * pad still touches everywhere: above it the figure is an upper bound. */
double lev_cut_wave_rho_um(const lev_cut_pass *pass, double wavelength_mm,
                           double *full_contact_um);

/** How far the surface of an elastic layer, bonded to a hard back, moves under a wave
 * of pressure: um per MPa, half height over half height.
 * @param wave_um      length of the wave, > 0
 * @param thick_um     of the layer, > 0; 0 = half-space
 * @param modulus_mpa  E / (1 - nu^2), > 0
 * @param poisson      0 <= .. < 0.5 */
double lev_cut_pad_give(double wave_um, double thick_um, double modulus_mpa,
                        double poisson);

/** Share of a wave that a rigid square pad follows by rising and tilting as it moves
 * about: the wave's part in the planes over the square, averaged over all places of it,
 * (j0 j0)^2 + 3 (j1 j0)^2 + 3 (j0 j1)^2, spherical Bessel functions at half the wave
 * number times the side. 1 for long waves, 0 for short ones.
 * @param per_um_x, per_um_y  waves per um along the sides; 0 = uniform that way
 * @param side_um             of the pad, >= 0 */
double lev_cut_pad_follows(double per_um_x, double per_um_y, double side_um);

/* ---- Time, sheets, money ---- */

typedef struct lev_cut_job {
    double area_mm2;           /* face worked, > 0 */
    double remove_um;          /* depth to take off it, >= 0 */
    double sheet_mm2;          /* abrasive on one sheet, disc, belt; 0: one patch */
    double sheet_share;        /* share of it that gets used, 0: usual */
    double price_minor;        /* of one sheet, >= 0 */
    double labour_minor_per_s; /* >= 0 */
    double change_s;           /* to renew the patch; 0: the drive's usual */
} lev_cut_job;

typedef struct lev_cut_cost {
    double time_s;         /* cutting, without changes and setting up */
    double change_s;       /* all changes of patch together */
    double sheets;         /* abrasive used, in sheets */
    int64_t whole_sheets;  /* to have at hand: rounded up */
    int64_t media_changes; /* renewals of the patch after the first */
    double wear;           /* x = q / M at which the patch is renewed, 0..1 */
    double money_minor;    /* labour and abrasive */
    lev_spread time_spread_s, sheets_spread;
    /* logarithmic slopes of time and sheets in the factors of removal and life */
    double time_by_removal, time_by_life, sheets_by_removal, sheets_by_life;
} lev_cut_cost;

/**
 * Time and abrasive to take remove_um off area_mm2 with the patch renewed when that is
 * cheapest.
 * @return LEV_OK; LEV_E_RANGE if a field is NaN or negative, or if the step removes
 *         nothing and remove_um > 0
 */
lev_status lev_cut_cost_init(const lev_cut_pass *pass, const lev_cut_job *job,
                             lev_cut_cost *out, lev_error *err);

/** The best x = q/M: solves fixed/tau = x/(1-x) + ln(1-x), fixed = price over labour
 * plus change time, tau = life over rate. fixed_over_tau >= 0. */
double lev_cut_renewal(double fixed_over_tau);

/* A part of a total with what it owes to each factor (log-sensitivity times log-sd). */
typedef struct lev_cut_term {
    double median;
    double lnsd[LEV_CUT_FACTORS]; /* signed: +s grows, -s shrinks with the factor */
    int drive_slot;               /* whose LEV_CUT_F_REMOVAL */
    double lnsd_own;              /* shared with no other term */
} lev_cut_term;

/** Quantiles of the sum of n terms with their shared factors: exact mean and variance
 * of the sum of log-normals, then a log-normal of these (Fenton 1960). n = 0 gives
 * zeros. Cost: O(n^2). */
lev_spread lev_cut_total(const lev_cut_term *terms, ptrdiff_t n);

/** The time of a step as a term. clear: the depth itself is what clearing old marks
 * needs, so that time carries the relaxation factor too. */
lev_cut_term lev_cut_time_term(const lev_cut_pass *pass, const lev_cut_cost *cost,
                               bool clear);

/** The abrasive of a step, in sheets, as a term. */
lev_cut_term lev_cut_sheet_term(const lev_cut_pass *pass, const lev_cut_cost *cost,
                                bool clear);

/* ---- Drives: sliding speeds (m/s) from their geometry ---- */

/** Strokes there and back: length stroke_mm, rate_hz double strokes a second. */
double lev_cut_speed_strokes(double stroke_mm, double rate_hz);
/** Area mean over a spinning disc: (2/3) 2 pi n R. */
double lev_cut_speed_disc(double diameter_mm, double rev_hz);
/** Rim of a wheel, drum or belt pulley, surface of turning work: pi D n. */
double lev_cut_speed_rim(double diameter_mm, double rev_hz);
/** Orbit without spin, orbit being the diameter of the circle: pi D f. */
double lev_cut_speed_orbit(double orbit_mm, double orbit_hz);
/** Area mean over a random-orbital pad: at radius r, (2/pi) (a + b) E(m), a the orbital
 * and b = 2 pi n r the spinning speed, m = 4 a b / (a + b)^2. */
double lev_cut_speed_random_orbit(double orbit_mm, double orbit_hz, double pad_mm,
                                  double spin_hz);
/** Complete elliptic integral of the second kind, parameter 0 <= m <= 1 (NaN outside).
 * Source: arithmetic-geometric mean, Abramowitz & Stegun 17.6. */
double lev_cut_ellipe(double m);

/** Ra of the pores a wood has of its own, um, by material id; the usual one when that
 * id has no row. */
double lev_cut_pore_floor_um(const char *material_id);

/* ---- The contact itself, for tests, charts and the curious ---- */

typedef struct lev_cut_contact_in {
    lev_grain_dist grain;
    double pressure_kpa;
    double hardness_gpa;
    double backing_mpa; /* E_b */
    double cone_deg;    /* half-angle of a grain's tip, from its axis */
    double coverage;    /* share of the sheet covered by grains */
    double height_xi;   /* tip height z = D (1 + xi g), g standard normal */
    double wear; /* 0 fresh, to 1 (exclusive): share of the touching tips levelled */
} lev_cut_contact_in;

typedef struct lev_cut_contact {
    double grains_per_mm2; /* on the sheet */
    double touching_share; /* of them reach the mean height of the surface */
    double ra_um, rq_um;   /* steady texture across the lay, no ridges, no pores */
    double deep_um[3];     /* depth below mean exceeded by 1e-1, 1e-2, 1e-3 of length */
    double rho_long_um;    /* depth that cuts a long wave by e */
} lev_cut_contact;

/** Solve the contact of springy grains with the surface they themselves leave.
 * @return LEV_OK; LEV_E_RANGE for figures outside cone < 90 deg, coverage 0..1, xi 0.02
 *         to 0.3 */
lev_status lev_cut_contact_init(const lev_cut_contact_in *in, lev_cut_contact *out,
                                lev_error *err);

/* The same sheet, fresh, pressed on a flat face and just starting to slide. */
typedef struct lev_cut_flat {
    double level_um;       /* z0: height of the face above the sheet's plane */
    double touching_share; /* of the grains */
    double depth_um;       /* mean depth of the touching ones */
    double load_kpa;       /* what they carry: the pressure again, as a check */
} lev_cut_flat;

/** Balance k (z - z0 - b) = (pi/2) H t^2 b^2 over all grains against the pressure.
 * xi may be 0 here (all tips at the size of their grain). Errors as above. */
lev_status lev_cut_flat_init(const lev_cut_contact_in *in, lev_cut_flat *out,
                             lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
