/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where growing things stop, each with its reason. */
#ifndef BASE_BOUNDS_H
#define BASE_BOUNDS_H

enum {
    /* One line of text for a person or a log: longer is a mistake, not a message. */
    LEV_LIMIT_LINE_BYTES = 2048,
    /* Longest marking a person reads off an abrasive; wheels carry the longest. */
    LEV_LIMIT_MARKING_BYTES = 80,
    /* A job is written by hand or by the page; 1 MiB is ten thousand faces. */
    LEV_LIMIT_JOB_BYTES = 1 << 20,
    /* Faces in one job: a card has one page a face, and nobody prints more. */
    LEV_LIMIT_FACES = 100,
    /* Media in one drawer. */
    LEV_LIMIT_DRAWER = 2000,
    /* Length of a name of ours (face, job), in bytes. */
    LEV_LIMIT_NAME_BYTES = 40,
    /* Working memory of one request. */
    LEV_LIMIT_ARENA_BYTES = 256 << 20,
    /* Any text file we read whole. */
    LEV_LIMIT_FILE_BYTES = 256 << 20,
    /* Heights of one surface: 8192 x 8192, more than any instrument's one field. */
    LEV_LIMIT_SURFACE_POINTS = 1 << 26,
    /* A surface file, or a part of one unpacked: that many heights of 8 bytes. */
    LEV_LIMIT_SURFACE_BYTES = 1 << 29,
    /* A photo: the largest a phone of today takes, as a file and unpacked. */
    LEV_LIMIT_PHOTO_BYTES = 40 << 20,
    LEV_LIMIT_PHOTO_POINTS = 60000000,
    LEV_LIMIT_PHOTO_SIDE = 20000,
    /* The text part of a surface file; its points may stand in it. */
    LEV_LIMIT_XML_BYTES = 1 << 26
};

#endif
