/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli_progress.h"

#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

static const double QUIET_S = 2.0, EVERY_S = 0.5;

static volatile sig_atomic_t stopped;
static double began_s, told_s;
static bool told;

static double now_s(void)
{
    struct timespec t = {0};
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void stop(int signal_number)
{
    (void)signal_number;
    stopped = 1;
}

void lev_progress_begin(void)
{
    struct sigaction act = {.sa_handler = stop};
    (void)sigemptyset(&act.sa_mask);
    (void)sigaction(SIGINT, &act, NULL);
    (void)sigaction(SIGTERM, &act, NULL);
    began_s = now_s();
}

/* Less than a minute left is told in seconds. */
static void tell(double done, double gone_s)
{
    const double left_s = gone_s * (1.0 - done) / done;
    if (left_s < 90.0)
        (void)fprintf(stderr, "\r%3.0f %% done, about %.0f s left ", 100.0 * done,
                      left_s);
    else
        (void)fprintf(stderr, "\r%3.0f %% done, about %.0f min left ", 100.0 * done,
                      left_s / 60.0);
    (void)fflush(stderr);
}

int lev_progress_watch(void *payload, double done)
{
    (void)payload;
    const double at_s = now_s();
    if (at_s - began_s > QUIET_S && at_s - told_s > EVERY_S && done > 0.0 &&
        isatty(STDERR_FILENO)) {
        tell(done, at_s - began_s);
        told_s = at_s;
        told = true;
    }
    return stopped;
}

void lev_progress_end(void)
{
    if (told)
        (void)fprintf(stderr, "\r%40s\r", "");
    told = false;
}
