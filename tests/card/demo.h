/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Invented views of the clock shop, written by hand: what the drawing is tried on. */
#ifndef DEMO_H
#define DEMO_H

#include <math.h>

#include "levigate/card.h"

#define UM "\xC2\xB5m"

static const char *const demo_deference =
    "Local law, the codes in force where you work, the maker's instructions for your "
    "machine and abrasive, and the advice of licensed or certified people come before "
    "anything printed here. If in doubt, stop and ask.";

static const lev_card_step demo_brass_step[] = {
    {.number = 1,
     .use = "P240 on hard block",
     .push = "normal push, 1.5 kg on the scale",
     .fluid = "water and a drop of dish soap",
     .amount = "Look after 3 min.",
     .time = "Usually 4 to 8 min; 1 in 10 takes over 9.",
     .check = "no dent and no rolling line left, lamp low and square to the old lines",
     .stop_if = "one corner stays bright: the block rocks",
     .takes_off = "Takes off 8 " UM ", a tenth of a sheet of paper.",
     .stroke = LEV_CARD_TO_AND_FRO,
     .angle_deg = 45.0,
     .old_angle_deg = 0.0,
     .d50_um = 58.5,
     .lnsd = 0.25,
     .gate = true,
     .clean_down = true},
    {.number = 2,
     .use = "P400 on hard block, crossed",
     .push = "normal push",
     .fluid = "light oil",
     .amount = "Look after 2 min.",
     .time = "Usually 2 to 5 min.",
     .check = "five light strokes at 45\xC2\xB0 break up every line you see",
     .stop_if = "the paper squeaks and slides: take a fresh corner",
     .stroke = LEV_CARD_TO_AND_FRO,
     .angle_deg = -45.0,
     .old_angle_deg = 45.0,
     .d50_um = 35.0,
     .lnsd = 0.22,
     .clean_down = true},
    {.number = 3,
     .use = "Fresh P400, straight grain",
     .push = "normal push, lift at the end",
     .fluid = "light oil",
     .amount = "20 strokes a lane, off the edge.",
     .time = "Usually 1 to 3 min.",
     .check = "lines run unbroken edge to edge, seen flat, at 45\xC2\xB0 and end on",
     .stop_if = "a line is brighter than its neighbours: a stray grain, wash down",
     .stroke = LEV_CARD_ONE_WAY,
     .angle_deg = 0.0,
     .old_angle_deg = -45.0,
     .d50_um = 35.0,
     .lnsd = 0.22},
};

static const lev_card_caution demo_brass_caution[] = {
    {LEV_CARD_NOTE, "Fingerprints stain brass within the hour: handle by the edges."},
    {LEV_CARD_WARNING, "Sawn edges cut. Break them with a file first."},
    {LEV_CARD_DANGER, "Grit in the eye: rinse, do not rub or dig, see someone."},
    {LEV_CARD_NOTE, "Brass may hold lead: wash your hands before you eat."},
    {LEV_CARD_WARNING, "Oily rags: spread out or under water, never in a heap."},
};

static const char *const demo_brass_why[] = {
    "P240 first: the dents are 20 " UM " deep; P400 alone would take 40 minutes.",
    "P320 is left out: P400 takes the P240 lines in 2 minutes, one paper less.",
};

static const lev_card_step demo_steel_step[] = {
    {.number = 1,
     .use = "P600 on glass plate",
     .push = "weight of the hand",
     .fluid = "water and soap",
     .amount = "Look after 2 min.",
     .time = "Usually 2 to 6 min.",
     .check = "even grey, no file line under the lamp",
     .stop_if = "the part warms",
     .stroke = LEV_CARD_TO_AND_FRO,
     .angle_deg = 90.0,
     .old_angle_deg = 0.0,
     .d50_um = 25.8,
     .lnsd = 0.2,
     .clean_down = true},
    {.number = 2,
     .use = "P1200 on glass plate",
     .push = "weight of the hand",
     .fluid = "water and soap",
     .amount = "Look after 2 min.",
     .time = "Usually 2 to 6 min.",
     .check = "even grey, no line at 10x",
     .stroke = LEV_CARD_TO_AND_FRO,
     .angle_deg = 0.0,
     .old_angle_deg = 90.0,
     .d50_um = 15.3,
     .lnsd = 0.18,
     .gate = true,
     .clean_down = true},
    {.number = 3,
     .use = "3 " UM " diamond on brass lap",
     .push = "feather push",
     .fluid = "a drop of oil",
     .amount = "Look after 2 min.",
     .time = "Usually 2 to 5 min.",
     .check = "bright, all grey gone",
     .stroke = LEV_CARD_CIRCLES,
     .old_angle_deg = 0.0,
     .d50_um = 3.0,
     .lnsd = 0.3,
     .clean_down = true},
    {.number = 4,
     .use = "1 " UM " diamond on tin lap",
     .push = "feather push",
     .fluid = "worked until nearly dry",
     .amount = "Turn the work each 10 strokes.",
     .time = "Usually 3 to 15 min; 1 in 3 starts again.",
     .check = "black at one tilt, white at the next, whole face at once",
     .stop_if = "tails: clean the lap, start the step again",
     .stroke = LEV_CARD_CIRCLES,
     .old_angle_deg = NAN,
     .d50_um = 1.0,
     .lnsd = 0.3},
};

static const lev_card_caution demo_steel_caution[] = {
    {LEV_CARD_WARNING, "Thin steel springs out of the fingers: stick it to a block."},
};

static const lev_card_step demo_walnut_step[] = {
    {.number = 1,
     .use = "P120 disc, 150 mm",
     .push = "weight of the machine",
     .fluid = "dry, dust extraction on",
     .amount = "2 to 4 passes, half overlap.",
     .time = "Usually 6 to 15 min.",
     .check = "pencil scribble gone everywhere",
     .stop_if = "the disc smells or leaves shiny stripes",
     .stroke = LEV_CARD_ORBITAL,
     .angle_deg = 0.0,
     .old_angle_deg = 90.0,
     .d50_um = 125.0,
     .lnsd = 0.25,
     .clean_down = true},
    {.number = 2,
     .use = "P180 disc, 150 mm",
     .push = "weight of the machine",
     .fluid = "dry",
     .amount = "2 passes.",
     .time = "Usually 4 to 8 min.",
     .check = "wiped with spirit, no curl shows low to the window",
     .stroke = LEV_CARD_ORBITAL,
     .angle_deg = 0.0,
     .old_angle_deg = NAN,
     .d50_um = 82.0,
     .lnsd = 0.25,
     .gate = true,
     .clean_down = true},
    {.number = 3,
     .use = "P220 by hand, on cork",
     .push = "normal push",
     .fluid = "dry",
     .amount = "2 min a forearm's length.",
     .check = "no curl left after a wet wipe",
     .stroke = LEV_CARD_TO_AND_FRO,
     .angle_deg = 0.0,
     .old_angle_deg = NAN,
     .d50_um = 68.0,
     .lnsd = 0.25},
};

static const lev_card_caution demo_walnut_caution[] = {
    {LEV_CARD_DANGER, "Oily rags take fire by themselves tonight: hang them out flat "
                      "or drown them."},
    {LEV_CARD_WARNING, "Walnut dust: extraction and a mask that fits."},
};

static const char *const demo_veneer_why[] = {
    "The veneer has 0.3 mm left; at the edges half of that.",
    "The ripples are 0.25 mm deep: any ladder goes through.",
};
static const char *const demo_veneer_help[] = {
    "Scrape the high spots only, and leave the ripples.",
    "Fill and finish over it; accept the wave.",
    "New veneer: ask a veneer worker.",
};
static const char *const demo_gilt_why[] = {
    "Leaf is 0.1 " UM " thick: one wipe with a polish goes through.",
};
static const char *const demo_gilt_help[] = {
    "Dust with a soft dry brush.",
    "Show it to a restorer of gilding before anything wet.",
};

static const lev_card_step demo_recover_step[] = {
    {.number = 1,
     .use = "P600 on glass plate",
     .push = "weight of the hand",
     .fluid = "water and soap",
     .amount = "A spot of 20 mm. Look after 2 min.",
     .check = "the line is gone under the lens",
     .stop_if = "the spot looks dished",
     .stroke = LEV_CARD_TO_AND_FRO,
     .angle_deg = 90.0,
     .old_angle_deg = 20.0,
     .d50_um = 25.8,
     .lnsd = 0.2,
     .clean_down = true},
    {.number = 2,
     .use = "P1200 on glass plate",
     .push = "weight of the hand",
     .fluid = "water and soap",
     .amount = "35 mm around. Look after 2 min.",
     .check = "no P600 line at 10x",
     .stroke = LEV_CARD_TO_AND_FRO,
     .angle_deg = 0.0,
     .old_angle_deg = 90.0,
     .d50_um = 15.3,
     .lnsd = 0.18},
};
static const char *const demo_recover_why[] = {
    "One lone line across all directions: a stray grain, not a grit left too soon.",
};

#define N_OF(a) ((ptrdiff_t)(sizeof(a) / sizeof *(a)))

/* Two pictures of four points by three. */
static const unsigned char demo_dull[12] = {90, 90, 95, 90, 90, 95,
                                            90, 90, 90, 95, 90, 90};
static const unsigned char demo_bright[12] = {250, 10,  250, 10, 10,  250,
                                              10,  250, 250, 10, 250, 10};
static const lev_card_look demo_look[] = {
    {.image = {demo_dull, 4, 3, 4, 1},
     .caption = "Now",
     .gloss = "Gloss units at 60 deg: 20 across the lines, 90 along them",
     .reads = "No type can be read in it",
     .doubt = "The light model does not claim to hold here: a hint, no promise."},
    {.image = {demo_bright, 4, 3, 4, 1},
     .caption = "After P400",
     .gloss = "Gloss units at 60 deg: 320 across the lines, 700 along them",
     .reads = "Type 3 mm high can be read in it 5 mm off"},
};

static const lev_card_face demo_face[] = {
    {.name = "Front plate, face",
     .material = "brass, rolled",
     .size = "100 x 150 mm",
     .start = "rolled, dents of 20 " UM,
     .target = "fine straight grain, lengthwise",
     .next = "lacquer, the same day",
     .first_line = "START P240, THREE STEPS, ABOUT 15 MIN.",
     .second_line = "Done when lines run unbroken from edge to edge.",
     .step = demo_brass_step,
     .steps = N_OF(demo_brass_step),
     .totals = {"10 to 20 min", "none",
                "P240 one quarter, P400 one and a half quarters", "6.50 (5 to 8) EUR",
                "15 " UM ", a quarter of a hair"},
     .look_title = "A lettered card seen in it, held 50 mm off",
     .look = demo_look,
     .looks = 2,
     .why = {demo_brass_why, 2},
     .caution = demo_brass_caution,
     .cautions = N_OF(demo_brass_caution),
     .rests_on = "Rests on: P240 58.5 " UM " and P400 35.0 " UM " (read: ISO 6344-3); "
                 "wear of brass (fitted); times (practice, no published source). "
                 "Invented demonstration."},
    {.name = "Hour hand",
     .material = "steel, tempered to blue",
     .size = "2 cm\xC2\xB2",
     .start = "smooth file marks",
     .target = "black polish",
     .next = "blueing by heat",
     .first_line = "START P600, FOUR STEPS, ABOUT 25 MIN.",
     .second_line = "Done when it flips black to white at one tilt.",
     .step = demo_steel_step,
     .steps = N_OF(demo_steel_step),
     .totals = {"15 to 45 min", NULL, "one sixteenth of each sheet", "9.00 EUR", NULL},
     .caution = demo_steel_caution,
     .cautions = 1,
     .rests_on = "Rests on: practice, no published source. Invented demonstration."},
    {.name = "Case, sides",
     .material = "walnut",
     .size = "0.5 m\xC2\xB2",
     .start = "planed, fine ripples",
     .target = "clean",
     .next = "oil",
     .first_line = "START P120 DISC, ABOUT 35 MIN HANDS ON.",
     .second_line = "Done when a wipe with spirit shows no curl.",
     .leave_alone =
         "Signed or dated inside? Old polish worth keeping? Then clean and wax "
         "only, or ask.",
     .step = demo_walnut_step,
     .steps = N_OF(demo_walnut_step),
     .totals = {"25 to 50 min", "1 h after raising the grain",
                "2 discs P120, 1 disc P180", "18.00", "0.1 mm, a sheet of copy paper"},
     .caution = demo_walnut_caution,
     .cautions = 2},
    {.kind = LEV_CARD_INFEASIBLE,
     .name = "Door, veneered",
     .material = "veneer, walnut",
     .size = "200 x 300 mm",
     .start = "ripples of 0.25 mm",
     .target = "flat and clean",
     .first_line = "0.3 MM OF VENEER: THIS WOULD GO THROUGH.",
     .second_line = "Check: lift the edge of the lock plate and measure.",
     .why = {demo_veneer_why, 2},
     .help = {demo_veneer_help, 3}},
    {.kind = LEV_CARD_LEAVE_ALONE,
     .name = "Dial surround",
     .material = "gilded wood",
     .first_line = "GILDED: CLEAN IT, DO NOT POLISH IT.",
     .second_line = "Check: a loupe shows red or yellow ground at worn spots.",
     .why = {demo_gilt_why, 1},
     .help = {demo_gilt_help, 2}},
    {.kind = LEV_CARD_RECOVER,
     .name = "Minute hand",
     .material = "steel, blue",
     .size = "2 cm\xC2\xB2",
     .first_line = "BACK TO P600, A 20 MM SPOT, 5 MIN.",
     .second_line = "Check: no line at 10x, lamp from two sides.",
     .why = {demo_recover_why, 1},
     .step = demo_recover_step,
     .steps = 2},
};

static inline lev_card_job demo_job(lev_card_paper paper)
{
    const lev_card_job job = {
        .head = {"Job card: bracket clock", "2026-01-31", "levigate 0.1.0", paper},
        .piece = "Bracket clock no. 7",
        .currency = "EUR",
        .deference = demo_deference,
        .face = demo_face,
        .faces = N_OF(demo_face)};
    return job;
}

/* Made-up sizes, one band of each kind that a chart may show. */
static const lev_card_chart_row demo_row_a[] = {
    {"A1", 400.0, 520.0, 300.0, false}, {"A2", 200.0, 260.0, 150.0, false},
    {"A3", 100.0, 130.0, 75.0, false},  {"A4", 90.0, 118.0, 66.0, false},
    {"A5", 8.0, 11.0, 6.0, false},
};
static const lev_card_chart_row demo_row_b[] = {
    {"B tick", 60.0, NAN, NAN, true},
    {"B range", NAN, 40.0, 25.0, true},
    {"B all", 12.0, 16.0, 9.0, true},
};
static const lev_card_chart_band demo_band[] = {
    {"System A (invented)", "sieves", demo_row_a, N_OF(demo_row_a)},
    {"System B (invented)", "settling tube", demo_row_b, N_OF(demo_row_b)},
};
static const lev_card_chart_mark demo_mark[] = {
    {"hair", 50.0, 80.0},
    {"the eye at 250 mm", 73.0, 73.0},
    {"copy paper", 100.0, 100.0},
};

static inline lev_card_chart demo_chart(lev_card_paper paper)
{
    const lev_card_chart chart = {
        .head = {"Grits in micrometres", "2026-01-31", "levigate 0.1.0", paper},
        .subtitle = "What the numbers on the back are worth",
        .band = demo_band,
        .bands = N_OF(demo_band),
        .mark = demo_mark,
        .marks = N_OF(demo_mark),
        .foot = "Invented demonstration."};
    return chart;
}

static const lev_card_label demo_label[] = {
    {"P240", "58.5 " UM, "silicon carbide, paper, waterproof", "P240 58.5 um"},
    {"P400", "35 " UM, "silicon carbide, paper, waterproof", NULL},
    {"4/0", "16 " UM, "emery polishing paper", "4/0 emery"},
};

static inline lev_card_labels demo_labels(void)
{
    const lev_card_labels labels = {
        .head = {"Drawer labels", "2026-01-31", "levigate 0.1.0", LEV_CARD_A4},
        .label = demo_label,
        .labels = N_OF(demo_label)};
    return labels;
}

#endif
