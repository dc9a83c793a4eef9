/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fuzz target is one function; with -Dfuzz=true libFuzzer drives it, otherwise this
 * main runs every file of the folders and files it is given, and each of them cut short
 * and with bytes changed, so that the corpus is an ordinary test. */
#ifndef FUZZ_H
#define FUZZ_H

#include <dirent.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#ifndef LEV_FUZZER
enum { CUTS = 24, FLIPS = 40, FILE_MAX = 1 << 20 }; /* a few seconds a corpus */

static long runs;

/* The bytes in a block of their own, so that the sanitizer sees a read beyond them. */
static void run_copy(const uint8_t *data, size_t size)
{
    uint8_t *copy = malloc(size > 0 ? size : 1);
    if (copy == NULL)
        exit(3);
    memcpy(copy, data, size);
    (void)LLVMFuzzerTestOneInput(copy, size);
    free(copy);
    runs++;
}

static void run_bytes(uint8_t *data, size_t size)
{
    uint32_t dice = 12345;
    run_copy(data, size);
    for (size_t i = 0; i < CUTS && size > 0; i++)
        run_copy(data, size < CUTS ? i % size : i * size / CUTS);
    for (int i = 0; i < FLIPS && size > 0; i++) {
        dice = dice * 1664525U + 1013904223U;
        const size_t at = (size_t)(dice >> 8) % size;
        const uint8_t old = data[at];
        dice = dice * 1664525U + 1013904223U;
        data[at] = (uint8_t)(dice >> 16);
        run_copy(data, size);
        data[at] = old;
    }
}

static void run_path(const char *path)
{
    struct stat about;
    if (stat(path, &about) != 0) {
        fprintf(stderr, "%s: not there\n", path);
        exit(2);
    }
    if (S_ISDIR(about.st_mode)) {
        struct dirent **entry = NULL;
        const int n = scandir(path, &entry, NULL, alphasort);
        for (int i = 0; i < n; i++) {
            char sub[4096];
            if (entry[i]->d_name[0] != '.' &&
                snprintf(sub, sizeof sub, "%s/%s", path, entry[i]->d_name) <
                    (int)sizeof sub)
                run_path(sub);
            free(entry[i]);
        }
        free(entry);
        return;
    }
    FILE *f = fopen(path, "rb");
    uint8_t *data = malloc(FILE_MAX);
    if (f == NULL || data == NULL)
        exit(3);
    const size_t size = fread(data, 1, FILE_MAX, f);
    (void)fclose(f);
    run_bytes(data, size);
    free(data);
}

int main(int argc, char **argv)
{
    for (int i = 1; i < argc; i++)
        run_path(argv[i]);
    printf("1..1\n%s 1 - %ld inputs handled without a fault\n",
           runs > 0 ? "ok" : "not ok", runs);
    return runs > 0 ? 0 : 1;
}
#endif
#endif
