/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Printed matter: job card, wall chart, labels, report pages; PDF, SVG and PNG from one
 * routine. The drawing knows nothing of the subject: every text comes ready made, every
 * number is rounded by the caller, every pointer is borrowed for the length of the
 * call.
 *
 * It lives in a module of its own that the program loads on first use, so that a verb
 * which draws nothing never pays for the drawing libraries. The module exports one
 * symbol, lev_card_entry. Texts are UTF-8; NULL and "" both mean "not there"; a number
 * that is not there is NaN. Failures: LEV_E_FORMAT for a text that is not UTF-8 or a
 * date that is none, LEV_E_USAGE for a view that cannot be drawn, LEV_E_LIMIT for more
 * than a page or a picture may hold, LEV_E_SYSTEM when no font has a letter, LEV_E_IO
 * when the sink refuses. After a failure what the sink got is to be thrown away. */
#ifndef LEVIGATE_CARD_H
#define LEVIGATE_CARD_H

#include <stdbool.h>
#include <stddef.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- where it goes ---- */

typedef enum lev_card_format {
    LEV_CARD_PDF, /* version 1.5, fonts embedded, same bytes for the same view */
    LEV_CARD_SVG, /* pages stacked in one picture */
    LEV_CARD_PNG  /* pages stacked in one picture */
} lev_card_format;

typedef enum lev_card_paper {
    LEV_CARD_A4,
    LEV_CARD_LETTER,
    LEV_CARD_A5,
    LEV_CARD_A3, /* A3 and A2 lie on their long side: wall charts */
    LEV_CARD_A2
} lev_card_paper;

/* Called with each run of bytes, in order; anything but 0 stops the drawing. */
typedef int (*lev_card_write)(void *to, const unsigned char *bytes, size_t n);

typedef struct lev_card_out {
    lev_card_format format;
    double dpi; /* PNG only, 36 to 600; 0 = 150 */
    lev_card_write write;
    void *to;
} lev_card_out;

/* What every printed thing says about itself. */
typedef struct lev_card_head {
    const char *title;   /* document title, e.g. "Job card" */
    const char *date;    /* YYYY-MM-DD or YYYY-MM-DDThh:mm:ssZ, needed: the clock is
                            never read */
    const char *version; /* e.g. "levigate 0.1.0" */
    lev_card_paper paper;
} lev_card_head;

/* ---- job card ---- */

/* A picture in rows of `stride` bytes, the first row on top. */
typedef struct lev_card_image {
    const unsigned char *pixel;
    ptrdiff_t width, height, stride;
    int channels; /* 1 grey or 3 red, green, blue */
} lev_card_image;

typedef enum lev_card_severity {
    LEV_CARD_DANGER,
    LEV_CARD_WARNING,
    LEV_CARD_NOTE
} lev_card_severity;

typedef struct lev_card_caution {
    lev_card_severity severity;
    const char *text;
} lev_card_caution;

typedef enum lev_card_stroke {
    LEV_CARD_NO_STROKE, /* nothing to draw */
    LEV_CARD_TO_AND_FRO,
    LEV_CARD_ONE_WAY,
    LEV_CARD_CIRCLES,
    LEV_CARD_ORBITAL /* a machine moved along the direction */
} lev_card_stroke;

typedef struct lev_card_step {
    int number;
    const char *use;    /* "P240 on hard block" */
    const char *push;   /* "firm push, 2 kg on the scale" */
    const char *amount; /* "look after 3 min" or "20 strokes a lane" */
    const char *time;   /* "usually 4 to 8 min" */
    const char *fluid;  /* "light oil" */
    const char *check;  /* what ends the step */
    const char *stop_if;
    const char *takes_off; /* "takes off about 8 um" */
    lev_card_stroke stroke;
    double angle_deg;     /* of the stroke to the length of the face, anticlockwise;
                             NaN = no arrow */
    double old_angle_deg; /* of the lines to be taken out; NaN = none to draw */
    double d50_um;        /* median grain for the drawing; NaN or 0 = no drawing */
    double lnsd;          /* its log standard deviation; 0 = all alike */
    bool gate;            /* full check with lens before going on */
    bool clean_down;      /* wash everything before the next step */
} lev_card_step;

typedef enum lev_card_kind {
    LEV_CARD_LADDER,     /* a ladder of steps */
    LEV_CARD_RECOVER,    /* a line found late: how to get back */
    LEV_CARD_INFEASIBLE, /* cannot be done so: why, what would help */
    LEV_CARD_LEAVE_ALONE /* do not work it at all */
} lev_card_kind;

typedef struct lev_card_texts {
    const char *const *line;
    ptrdiff_t n;
} lev_card_texts;

typedef struct lev_card_totals {
    const char *hands_on, *waiting, *paper, *cost, *removal; /* in words */
} lev_card_totals;

/* A face in one state, by the picture it reflects. */
typedef struct lev_card_look {
    lev_card_image image; /* four parts wide, three high */
    const char *caption;  /* "now", "after P360" */
    const char *gloss;    /* with its direction */
    const char *reads;    /* how far off what can be read in it */
    const char *doubt;    /* where the light model does not claim to hold */
} lev_card_look;

typedef struct lev_card_face {
    lev_card_kind kind;
    const char *name;            /* "front plate, face" */
    const char *material, *size; /* "brass, rolled", "100 x 150 mm" */
    const char *start, *target, *next;
    const char *first_line;  /* the answer: one sentence, at most 60 characters */
    const char *second_line; /* the check that proves it */
    const char *leave_alone; /* a reason to stop before starting; a leave-alone page
                                that says why does not repeat it */
    const lev_card_step *step;
    ptrdiff_t steps;
    lev_card_totals totals;
    const char *look_title; /* what is seen in it, how far off */
    const lev_card_look *look;
    ptrdiff_t looks;     /* 0 .. 2: before and after */
    lev_card_texts why;  /* why this ladder; why it cannot be done; cause of a fault */
    lev_card_texts help; /* what would help, or what may be done instead */
    const lev_card_caution *caution; /* any order: danger is printed first */
    ptrdiff_t cautions;
    const char *rests_on; /* small print: marks and sources */
} lev_card_face;

typedef struct lev_card_job {
    lev_card_head head;
    const char *piece;
    const char *currency;  /* printed after a cost that does not name it */
    const char *deference; /* the standing line, at the end of every face */
    bool clip_top;         /* the 25 mm margin at the top instead of at the left */
    const lev_card_face *face;
    ptrdiff_t faces; /* 1 .. LEV_LIMIT_FACES */
} lev_card_job;

/* ---- wall chart ---- */

typedef struct lev_card_chart_row {
    const char *label;
    double d50_um;    /* median tick; NaN = only a range is published */
    double coarse_um; /* coarse limit; NaN = none published */
    double fine_um;   /* fine limit; NaN = none published; 0 = open, down to dust */
    bool from_memory; /* drawn hatched: not to be trusted alone */
} lev_card_chart_row;

typedef struct lev_card_chart_band { /* one grit system by one measuring method */
    const char *system, *method;
    const lev_card_chart_row *row;
    ptrdiff_t rows;
} lev_card_chart_band;

typedef struct lev_card_chart_mark { /* a likeness or a limit of the eye */
    const char *text;
    double from_um, to_um; /* equal: a line; otherwise a strip */
} lev_card_chart_mark;

typedef struct lev_card_chart {
    lev_card_head head;
    const char *subtitle;
    double from_um, to_um; /* ends of the axis; 0 = from the rows */
    const lev_card_chart_band *band;
    ptrdiff_t bands;
    const lev_card_chart_mark *mark;
    ptrdiff_t marks;
    const char *foot; /* small print: what it rests on */
} lev_card_chart;

/* ---- labels ---- */

typedef struct lev_card_label {
    const char *name; /* "P240" */
    const char *size; /* "58 um" */
    const char *text; /* mineral, carrier, lot */
    const char *qr;   /* text of a QR square; the label says all without it */
} lev_card_label;

typedef struct lev_card_labels {
    lev_card_head head;
    double width_mm, height_mm; /* of one label; 0 = 62 x 32 */
    const lev_card_label *label;
    ptrdiff_t labels;
} lev_card_labels;

/* ---- report page ---- */

typedef struct lev_card_series {
    const char *name;
    const double *x, *y; /* NaN breaks the line */
    ptrdiff_t n;
    bool dashed;
} lev_card_series;

typedef struct lev_card_axis {
    const char *label;
    double from, to; /* equal: from the data */
    bool log;
} lev_card_axis;

/* Lines over two axes, or a picture stretched over them. */
typedef struct lev_card_figure {
    const char *title;
    lev_card_axis x, y;
    const lev_card_series *series;
    ptrdiff_t n;
    lev_card_image image; /* width 0 = none */
    double height_mm;     /* 0 = 80 */
} lev_card_figure;

typedef struct lev_card_report {
    lev_card_head head;
    lev_card_texts text; /* the first line large; two blanks part names and values into
                            columns, one in front sets a line in */
    const lev_card_figure *figure;
    ptrdiff_t figures;
    const char *foot;
} lev_card_report;

/* ---- worksheet ---- */

typedef struct lev_card_section {
    const char *head, *text;
} lev_card_section;

/* Sections, then a table to be filled in; "" is an empty box. */
typedef struct lev_card_sheet {
    lev_card_head head;
    int copies; /* numbered from 1, each on a page of its own; 0: one without a number
                 */
    const lev_card_section *section;
    ptrdiff_t sections;
    const char *const *column; /* [columns] */
    const char *const *cell;   /* [rows][columns] */
    ptrdiff_t columns, rows;
    const char *foot;
} lev_card_sheet;

/* ---- the module ---- */

enum { LEV_CARD_API = 2 }; /* raised when a struct above changes */

typedef struct lev_card_api {
    int version; /* LEV_CARD_API of the build of the module: compare before use */
    lev_status (*job)(const lev_card_job *v, const lev_card_out *to, lev_error *err);
    lev_status (*chart)(const lev_card_chart *v, const lev_card_out *to,
                        lev_error *err);
    lev_status (*labels)(const lev_card_labels *v, const lev_card_out *to,
                         lev_error *err);
    lev_status (*report)(const lev_card_report *v, const lev_card_out *to,
                         lev_error *err);
    lev_status (*sheet)(const lev_card_sheet *v, const lev_card_out *to,
                        lev_error *err);
} lev_card_api;

/** The module's only symbol; the struct lives as long as the module is loaded. */
typedef const lev_card_api *(*lev_card_entry_fn)(void);
#define LEV_CARD_ENTRY_NAME "lev_card_entry"

#ifdef __cplusplus
}
#endif
#endif
