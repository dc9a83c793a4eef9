/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos and readings kept beside the store, each under the hash of its content: the
 * same picture is kept once, and a changed one is noticed. See app_shop_job.h. */
#include <errno.h>
#include <nettle/sha2.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app_shop_job.h"
#include "bounds.h"
#include "file.h"

void lev_shop_file_path(const char *store_path, const char *sha256,
                        char out[LEV_SHOP_PATH])
{
    (void)snprintf(out, LEV_SHOP_PATH, "%.4000s-files/%s", store_path, sha256);
}

void lev_sha256(const void *data, size_t n, char out[LEV_SHA256_TEXT])
{
    static const char digits[] = "0123456789abcdef";
    struct sha256_ctx hash;
    uint8_t sum[SHA256_DIGEST_SIZE];
    sha256_init(&hash);
    sha256_update(&hash, n, data);
    sha256_digest(&hash, sizeof sum, sum);
    for (size_t i = 0; i < sizeof sum; i++) {
        out[2 * i] = digits[sum[i] >> 4];
        out[2 * i + 1] = digits[sum[i] & 15];
    }
    out[2 * sizeof sum] = '\0';
}

static lev_status make_folder(const char *store_path, lev_error *err)
{
    char folder[LEV_SHOP_PATH];
    (void)snprintf(folder, sizeof folder, "%.4000s-files", store_path);
    if (mkdir(folder, 0700) == 0 || errno == EEXIST)
        return LEV_OK;
    (void)lev_fail(err, LEV_E_IO, "folder cannot be made: %s", strerror(errno));
    return lev_fail_at(err, LEV_E_IO, folder);
}

static lev_status write_file(const char *path, const lev_bytes *b, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_sink sink = {0};
    LEV_TRY(lev_sink_open(&sink, path, err));
    LEV_TRY(lev_sink_write(&sink, b->data, b->n, err));
    LEV_TRY(lev_sink_commit(&sink, err));
out:
    lev_sink_release(&sink);
    return st;
}

lev_status lev_shop_keep_file(const lev_shop *shop, const char *path,
                              lev_store_file *out, char sha256[LEV_SHA256_TEXT],
                              lev_error *err)
{
    lev_status st = LEV_OK;
    lev_bytes b = {0};
    char kept[LEV_SHOP_PATH];
    const char *slash = strrchr(path, '/');
    LEV_TRY(lev_bytes_read(path, LEV_LIMIT_FILE_BYTES, &b, err));
    lev_sha256(b.data, b.n, sha256);
    LEV_TRY(make_folder(shop->path, err));
    lev_shop_file_path(shop->path, sha256, kept);
    if (access(kept, F_OK) != 0)
        LEV_TRY(write_file(kept, &b, err));
    *out = (lev_store_file){.name = slash != NULL ? slash + 1 : path,
                            .sha256 = sha256,
                            .at_s = shop->now_s,
                            .bytes = (int64_t)b.n};
out:
    lev_bytes_release(&b);
    return st;
}

typedef struct check_files {
    const lev_shop *shop;
    ptrdiff_t seen;
    lev_status st;
    lev_error *err;
} check_files;

static int check_file(void *to, const lev_store_file *f)
{
    check_files *k = to;
    lev_bytes b = {0};
    char path[LEV_SHOP_PATH], hash[LEV_SHA256_TEXT];
    lev_shop_file_path(k->shop->path, f->sha256, path);
    k->st = lev_bytes_read(path, LEV_LIMIT_FILE_BYTES, &b, k->err);
    if (k->st >= 0) {
        lev_sha256(b.data, b.n, hash);
        if (strcmp(hash, f->sha256) != 0) {
            (void)lev_fail(k->err, LEV_E_IO,
                           "is not what was kept as %.100s: its content has changed",
                           f->name);
            k->st = lev_fail_at(k->err, LEV_E_IO, path);
        }
    }
    lev_bytes_release(&b);
    k->seen++;
    return k->st < 0;
}

lev_status lev_shop_check_files(const lev_shop *shop, ptrdiff_t *seen, lev_error *err)
{
    check_files k = {.shop = shop, .err = err};
    const lev_status st = lev_store_all_files(shop->store, check_file, &k, err);
    *seen = k.seen;
    return st < 0 ? st : k.st;
}
