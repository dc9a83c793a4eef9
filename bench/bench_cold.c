/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a verb takes from cold against a program that does nothing, in one run:
 * bench_cold EMPTY PROGRAM ARGS... Prints the medians of alternating runs. */
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 201 };

extern char **environ;

static double now_ms(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec * 1e-6;
}

static double run_ms(char *const argv[])
{
    posix_spawn_file_actions_t quiet;
    pid_t pid = 0;
    int status = 0;
    (void)posix_spawn_file_actions_init(&quiet);
    (void)posix_spawn_file_actions_addopen(&quiet, STDOUT_FILENO, "/dev/null", O_WRONLY,
                                           0);
    const double start = now_ms();
    if (posix_spawn(&pid, argv[0], &quiet, NULL, argv, environ) != 0 ||
        waitpid(pid, &status, 0) != pid || status != 0) {
        (void)fprintf(stderr, "bench_cold: %s did not run\n", argv[0]);
        exit(1);
    }
    const double ms = now_ms() - start;
    (void)posix_spawn_file_actions_destroy(&quiet);
    return ms;
}

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    static double empty[RUNS], full[RUNS];
    if (argc < 3) {
        (void)fprintf(stderr, "usage: bench_cold EMPTY PROGRAM ARGS...\n");
        return 2;
    }
    char *nothing[] = {argv[1], NULL};
    for (int i = 0; i < RUNS; i++) {
        empty[i] = run_ms(nothing);
        full[i] = run_ms(argv + 2);
    }
    qsort(empty, RUNS, sizeof *empty, by_value);
    qsort(full, RUNS, sizeof *full, by_value);
    const double a = empty[RUNS / 2], b = full[RUNS / 2];
    printf("empty program   %7.3f ms (1 in 10 above %.3f)\n", a, empty[RUNS * 9 / 10]);
    printf("verb from cold  %7.3f ms (1 in 10 above %.3f)\n", b, full[RUNS * 9 / 10]);
    printf("over an empty program: %.3f ms, %.2f times\n", b - a, b / a);
    return 0;
}
