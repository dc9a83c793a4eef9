/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a surface to light: what a face reflects, as numbers and as a picture.
 *
 * Lengths in micrometres (a card and its distances in millimetres), angles in radians
 * from the normal unless a name ends in _deg. Shares and reflectances are 0..1. A
 * direction is told by direction cosines: alpha along the plane of incidence, beta
 * across it. doc/physics/light.md holds the formulas, their ranges and sources. */
#ifndef LEVIGATE_OPTICS_H
#define LEVIGATE_OPTICS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/note.h"
#include "levigate/spread.h"
#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- reflectance of a smooth face ---- */

/* Optical constants n + ik. */
typedef struct lev_nk {
    double n; /* > 0 */
    double k; /* >= 0 */
} lev_nk;

typedef struct lev_reflectance {
    double rs, rp; /* across and in the plane of incidence */
    double mean;   /* unpolarised light */
} lev_reflectance;

/** Fresnel reflectance; LEV_E_RANGE unless n > 0, k >= 0, 0 <= incidence < pi/2. */
lev_status lev_optics_reflectance(lev_nk nk, double incidence_rad, lev_reflectance *out,
                                  lev_error *err);

/** The glass that reads 100 gloss units (n = 1.567, ISO 2813), unpolarised. */
double lev_optics_glass(double incidence_rad);

/* The colours everything is computed for: 650, 550, 450 nm. */
enum { LEV_RED, LEV_GREEN, LEV_BLUE, LEV_COLOURS };

/** Their wavelengths, um. */
double lev_optics_wavelength_um(int colour);

/* What a face is made of, to light. */
typedef struct lev_optic {
    lev_nk nk[LEV_COLOURS];
    lev_nk other[LEV_COLOURS]; /* a second published set; the first again if none */
    double body; /* share given back in all directions from inside (wood, paint) */
    double body_colour[LEV_COLOURS]; /* its linear sRGB; the share each, where grey */
    unsigned notes;                  /* LEV_NOTE_DISAGREE, LEV_NOTE_MEMORY ... */
} lev_optic;

/** By a work material's id, name or alias ("brass_260", "clock plate") or an optical id
 * of data/optics/nk.csv
 * ("chromium"); LEV_E_UNKNOWN otherwise. */
lev_status lev_optics_find(const char *id, lev_optic *out, lev_error *err);

/** n and k of an optical id at a wavelength, linear between the published ones; set is
 * "first" or "alternative". LEV_E_RANGE outside the published band, unless only one
 * wavelength is published: then it stands for all and notes says so. */
lev_status lev_optics_nk(const char *optic, const char *set, double wavelength_um,
                         lev_nk *out, unsigned *notes, lev_error *err);

/* ---- colour ---- */

/** Linear sRGB (0..1, not clipped) of a CIE Y (0..1) with CIELAB a*, b* under D65. */
void lev_srgb_of_lab(double y, double a, double b, double linear[LEV_COLOURS]);
/** IEC 61966-2-1: linear 0..1 to the coded value 0..1 and back. */
double lev_srgb_encode(double linear);
double lev_srgb_decode(double coded);
/** The same to and from 8 bits; values outside 0..1 are clipped. */
uint8_t lev_srgb_code(double linear);
double lev_srgb_linear(uint8_t code);

/* ---- surfaces told by a few figures ---- */

typedef enum lev_acf {
    LEV_ACF_GAUSS,      /* exp(-(t/l)^2) */
    LEV_ACF_EXPONENTIAL /* exp(-|t|/l) along each axis: sharper, as of cut grooves */
} lev_acf;

/* Heights with a normal distribution. in and cross: along the plane of incidence and
 * across it; 0 means endless (the face does not vary that way). */
typedef struct lev_rough {
    double sq_um;        /* rms height >= 0 */
    double length_in_um; /* correlation length seen by the plane of incidence */
    double length_cross_um;
    lev_acf acf;
} lev_rough;

/* A receptor's opening as a rectangle in direction cosines. */
typedef struct lev_window {
    double incidence_rad;
    double alpha_low, alpha_high;
    double beta_half;
} lev_window;

/** One of data/optics/gloss_window.csv; LEV_E_UNKNOWN. */
lev_status lev_optics_window(const char *id, lev_window *out, lev_error *err);

/** Phase number g = (4 pi sq cos / lambda)^2. */
double lev_optics_g(double sq_um, double wavelength_um, double incidence_rad);

/** Share of the reflected light that falls in the window: mirror beam and scatter.
 * Beckmann-Kirchhoff series, all regimes; notes: LEV_NOTE_OUTSIDE for steep slopes. */
double lev_optics_rough_share(const lev_rough *s, double wavelength_um,
                              const lev_window *w, unsigned *notes);

/** The same for facets with normally distributed slopes (sq cos >> lambda/4). */
double lev_optics_facet_share(double slope_in, double slope_cross, double in_plane_rad,
                              double cross_rad, double incidence_rad);

/** Bennett & Porteus (1961), two terms: share of R0 found within a cone of half-angle
 * acceptance_rad around the mirror beam, near normal incidence. */
double lev_optics_bennett_porteus(double sq_um, double slope, double wavelength_um,
                                  double acceptance_rad);

/** sq that light of this wavelength can see, normal incidence: share of sq^2 at spatial
 * frequencies below 1/lambda. Gaussian ACF of length l. */
double lev_optics_band_gauss(double length_um, double wavelength_um);
/** The same for a spectrum A / (1 + (B f)^2)^(C/2), C > 2. */
double lev_optics_band_abc(double b_um, double c, double wavelength_um);

/** Contrast that the reflected picture keeps at nu cycles per radian, in the plane of
 * incidence or (cross) square to it. */
double lev_optics_rough_mtf(const lev_rough *s, double wavelength_um,
                            double incidence_rad, double nu_per_rad, bool cross);

/** Image clarity of the combs of ISO 10216 and ISO 17221 in percent, from a blur whose
 * transform at f per mm is mtf(f, ctx). */
double lev_optics_comb_clarity(double comb_mm,
                               double (*mtf)(double f_per_mm, void *ctx), void *ctx);

/* ---- surfaces told by their heights ---- */

/* Borrowed heights, row by row; NaN where nothing was measured. */
typedef struct lev_height_view {
    const float *z_um;
    ptrdiff_t nx, ny; /* points a row, rows; each 16 .. 16384 */
    double dx_um, dy_um;
} lev_height_view;

typedef enum lev_scatter_way {
    LEV_SCATTER_WAVES, /* Kirchhoff: transform of the phase screen */
    LEV_SCATTER_FACETS /* slopes as small mirrors; for rough faces */
} lev_scatter_way;

typedef struct lev_scatter_request {
    double wavelength_um; /* 0.2 .. 20; 0: 0.55 */
    double incidence_rad; /* 0 .. 89 degrees */
    lev_scatter_way way;
    bool repeats; /* the map joins itself at its edges (simulated): no taper */
} lev_scatter_request;

/* Where the light goes, by surface frequency: bin (p, q) holds the share sent to
 * alpha = sin(incidence) + lambda p fx, beta = lambda q fy (p, q in the order of the
 * transform; the plane of incidence may lie at any azimuth). Sum of power = 1 - lost.
 */
typedef struct lev_scatter {
    ptrdiff_t nx, ny;
    double fx_per_um, fy_per_um; /* one bin */
    double wavelength_um, incidence_rad;
    float *power;
    double mirror;         /* share in the mirror beam, above the scatter around it */
    double floor;          /* power of one bin of that scatter */
    ptrdiff_t mirror_bins; /* the beam fills so many bins on each side; -1: no beam */
    double lost;           /* facets: share steeper than the map can show, dropped */
    unsigned notes;
} lev_scatter;

/* What a map is like; over all maps of an ensemble. */
typedef struct lev_relief_stats {
    double sq_um;            /* about the mean planes */
    double slope_x, slope_y; /* rms, between neighbours */
    double step_um;          /* largest height step between neighbours */
    double lay_rad;          /* direction of the lay from the x axis, 0 <= . < pi */
    double coherence;        /* 0 no direction .. 1 one direction */
} lev_relief_stats;

/** LEV_E_RANGE for a map without pitch or size, LEV_E_FORMAT for missing points. */
lev_status lev_optics_relief_stats(const lev_height_view *maps, ptrdiff_t n,
                                   lev_relief_stats *out, lev_error *err);

/** Rms height over n maps in waves longer than the wavelength: the finer ones send no
 * light into real angles at normal incidence. Cost: one transform a map, none when the
 * pitch is no finer than half the wavelength. */
lev_status lev_optics_band_map(const lev_height_view *maps, ptrdiff_t n,
                               double wavelength_um, double *sq_um, lev_error *err);

/**
 * Scatter of one map, or the mean over n maps of one size and pitch (fewer speckles).
 * Waves refuse (LEV_E_RANGE) a map whose steps between neighbours pass a phase of pi
 * in more than data/optics/light_figure.csv:step_share of the places: too coarse a
 * pitch for this light. Memory: 20 bytes a point. Cost: one transform a map.
 */
lev_status lev_optics_scatter(const lev_height_view *maps, ptrdiff_t n,
                              const lev_scatter_request *req, lev_scatter *out,
                              lev_error *err);
void lev_scatter_release(lev_scatter *s);

/** Share of the really reflected light (|alpha, beta| <= 1) that the window collects.
 * azimuth_rad: the plane of incidence, from the x axis of the map. LEV_E_RANGE when
 * the pitch of the map is too coarse to show light as far out as the window. */
lev_status lev_optics_collect(const lev_scatter *s, const lev_window *w,
                              double azimuth_rad, double *share, lev_error *err);

/** Contrast kept at nu cycles per radian; azimuth and cross as above. */
double lev_optics_mtf(const lev_scatter *s, double azimuth_rad, bool cross,
                      double nu_per_rad);

/* ---- gloss, haze, distinctness, reading distance ---- */

enum { LEV_GLOSS_20, LEV_GLOSS_60, LEV_GLOSS_85, LEV_GLOSS_ANGLES };

/* The plane of incidence against the lay. */
enum { LEV_LAY_ACROSS, LEV_LAY_ALONG, LEV_LAYS };

/** 20, 60, 85 (degrees). */
double lev_optics_gloss_deg(int angle);

typedef struct lev_look {
    double gu[LEV_GLOSS_ANGLES][LEV_LAYS]; /* gloss units */
    bool has_gu[LEV_GLOSS_ANGLES];         /* false: pitch too coarse for that angle */
    bool doubtful[LEV_GLOSS_ANGLES]; /* steeper than the model claims at that angle */
    bool directional;                /* false: both lays are the same figure */
    double lay_rad;                  /* when directional */
    double haze[LEV_LAYS];     /* 100 x light in both side windows / glass at 20 deg */
    double haze_log[LEV_LAYS]; /* the logarithmic haze of ISO 13803 */
    double doi[LEV_LAYS];      /* distinctness of image, percent */
    double rspec[LEV_COLOURS]; /* seen in the mirror direction, at the view angle */
    double rspec_low[LEV_COLOURS], rspec_high[LEV_COLOURS]; /* over published n, k */
    uint8_t srgb[LEV_COLOURS];
    double mirror;      /* share in the mirror beam, green, at the view angle */
    double readable_mm; /* lift at which type of readable_type_mm can just be read */
    double readable_type_mm;
    double sq_um, sq_seen_um; /* all waves; only those that light can see */
    double slope_across;      /* rms slope square to the lay */
    lev_scatter_way way;
    unsigned notes; /* LEV_NOTE_OUTSIDE: outside the model's claim */
} lev_look;

typedef struct lev_look_request {
    lev_optic optic;
    double type_mm;  /* height of the type to be read; 0: 3 mm */
    double eye_mm;   /* eye to face; 0: the table's */
    double view_rad; /* 0: the table's */
    bool repeats;    /* maps join themselves at their edges */
    bool has_lay;    /* lay_rad is given; else found from the map */
    double lay_rad;
} lev_look_request;

/** Everything about n maps of one face. Waves where the map allows, else facets. */
lev_status lev_optics_look(const lev_height_view *maps, ptrdiff_t n,
                           const lev_look_request *req, lev_look *out, lev_error *err);

/** Everything about a face told by a few figures: length_in is taken across the lay,
 * length_cross along it (0: endless). */
lev_status lev_optics_rough_look(const lev_rough *s, const lev_look_request *req,
                                 lev_look *out, lev_error *err);

/**
 * How far type may be lifted off the face and still be read in it: the distance where
 * the contrast kept at the letter's own frequency (half a cycle a stroke, stroke =
 * height / 5) falls to what a bell-shaped blur as wide as one stroke leaves, 0.411.
 * Never farther than the eye resolves the stroke (one minute of arc).
 * @param mtf  contrast kept at nu cycles per radian, worst direction
 */
double lev_optics_readable_mm(double type_mm, double eye_mm,
                              double (*mtf)(double nu_per_rad, void *ctx), void *ctx);

/* ---- light as a target ---- */

/* A finish as the planner knows it. */
typedef struct lev_texture {
    double ra_um;
    double slope; /* rms slope square to the lay; 0: the usual one for this Ra */
    bool one_way; /* a lay: straight marks in one direction; else none */
} lev_texture;

typedef struct lev_texture_light {
    lev_spread gu[LEV_GLOSS_ANGLES][LEV_LAYS];
    lev_spread readable_mm;
    lev_spread doi;
    unsigned notes;
} lev_texture_light;

/** The angle at which a face is looked into when nothing else is asked, rad. */
double lev_optics_view_rad(void);

/** The surface that stands for a texture: its middle. */
lev_status lev_optics_texture_surface(const lev_texture *t, lev_rough *out,
                                      lev_error *err);

/** What a texture will look like, with spread. type_mm, eye_mm from req. */
lev_status lev_optics_texture_light(const lev_texture *t, const lev_look_request *req,
                                    lev_texture_light *out, lev_error *err);

typedef struct lev_light_target {
    enum { LEV_LIGHT_GLOSS, LEV_LIGHT_READABLE } kind;
    int angle; /* LEV_GLOSS_20 .. */
    int lay;   /* LEV_LAY_ACROSS .. */
    double gu; /* at least */
    double type_mm, distance_mm;
} lev_light_target;

/** The Ra needed: p50 meets the target in half of the cases, p10 in nine of ten.
 * LEV_E_RANGE when even a perfect face of this material cannot. */
lev_status lev_optics_needed_ra(const lev_light_target *target, bool one_way,
                                const lev_look_request *req, lev_spread *ra_um,
                                unsigned *notes, lev_error *err);

/* ---- the reflected picture ---- */

/* Linear light, three floats a point (red, green, blue), 1 = the card's white. */
typedef struct lev_picture {
    ptrdiff_t nx, ny;
    double pitch_mm; /* on the card */
    float *rgb;
} lev_picture;

void lev_picture_release(lev_picture *p);

/** Our test card: type of 10, 6, 4, 3 and 2 mm, a grid, a slanted edge, colour patches.
 * @param nx  points across, 160 .. 4096; the card is 100 mm wide and 75 mm high */
lev_status lev_optics_card(ptrdiff_t nx, lev_picture *out, lev_error *err);

/** Draw text in our stroke letters (A-Z, digits, . - + / ( ) and blank; lower case is
 * drawn as capitals). x, y: left end of the base line; stroke = height / 5. */
void lev_picture_text(lev_picture *p, const char *text, double x_mm, double y_mm,
                      double height_mm, const float rgb[3]);
/** Its width, mm. */
double lev_picture_text_mm(const char *text, double height_mm);

typedef struct lev_mirror_view {
    double card_mm;    /* card to face, > 0 */
    double room_level; /* brightness beside the card; 0: the table's */
    double
        azimuth_rad; /* plane of incidence from the map's x axis: up in the picture */
    double gain;     /* exposure; 0: 1 */
    lev_optic optic;
} lev_mirror_view;

/** The card seen in a face: scatter[c] at the view angle for each colour. The picture
 * is turned back for reading. */
lev_status lev_optics_reflect(const lev_picture *card, const lev_scatter scatter[3],
                              const lev_mirror_view *view, lev_picture *out,
                              lev_error *err);

/** The same for a face told by a few figures, seen at view_rad. */
lev_status lev_optics_rough_reflect(const lev_picture *card, const lev_rough *s,
                                    double view_rad, const lev_mirror_view *view,
                                    lev_picture *out, lev_error *err);

/** The picture in a face given by maps: three scatters and the reflection. */
lev_status lev_optics_map_reflect(const lev_picture *card, const lev_height_view *maps,
                                  ptrdiff_t n, const lev_look_request *req,
                                  const lev_mirror_view *view, lev_picture *out,
                                  lev_error *err);

/** n pictures of one size side by side, each above its caption; a title over all, NULL
 * for none. */
lev_status lev_optics_strip(const lev_picture *panels, const char *const *captions,
                            ptrdiff_t n, const char *title, lev_picture *out,
                            lev_error *err);

/** 8-bit sRGB, 3 nx ny bytes into rgb8. */
void lev_picture_code(const lev_picture *p, uint8_t *rgb8);

/* ---- sharpness of an edge in a picture ---- */

/**
 * Contrast against frequency from a slanted edge (ISO 12233:2014, clause 6.2): nearly
 * upright edge, linear light, row by row.
 * @param mtf  contrast at i / (n_mtf) cycles a point, i = 0 .. n_mtf - 1, corrected for
 *             the derivative; LEV_E_FORMAT when no edge crosses every row
 */
lev_status lev_optics_edge_mtf(const float *grey, ptrdiff_t nx, ptrdiff_t ny,
                               double *mtf, ptrdiff_t n_mtf, lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
