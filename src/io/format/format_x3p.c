/* SPDX-License-Identifier: GPL-3.0-or-later */
/* X3P, ISO 25178-72: a ZIP with main.xml, its points in a binary or in the XML, and a
 * mask of valid points. Sizes are read from the ZIP's directory first; an entry that
 * would not fit the points announced, or that claims more than deflate can hold in its
 * bytes, is never inflated. Wrong checksums are a warning: files in use have them. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <zip.h>

#include "bounds.h"
#include "mem.h"
#include "text.h"
#include "x3p.h"

enum { INFLATE_MOST = 1032 }; /* deflate: at most 258 bytes from two bits */

static bool sniff(const unsigned char *data, size_t n)
{
    return n >= 4 && memcmp(data, "PK\x03\x04", 4) == 0;
}

static lev_status open_zip(const lev_cursor *in, zip_t **out, lev_error *err)
{
    zip_error_t why;
    zip_error_init(&why);
    zip_source_t *src =
        zip_source_buffer_create(in->at, (zip_uint64_t)(in->end - in->at), 0, &why);
    *out = src != NULL ? zip_open_from_source(src, ZIP_RDONLY | ZIP_CHECKCONS, &why)
                       : NULL;
    if (*out == NULL) {
        if (src != NULL)
            zip_source_free(src);
        (void)lev_fail(err, LEV_E_FORMAT, "damaged ZIP: %s", zip_error_strerror(&why));
        zip_error_fini(&why);
        return LEV_E_FORMAT;
    }
    zip_error_fini(&why);
    return LEV_OK;
}

/* Size of an entry once inflated, held against its packed size and a limit. */
static lev_status entry_size(zip_t *z, const char *name, size_t most,
                             zip_uint64_t *size, lev_error *err)
{
    zip_stat_t info;
    if (zip_stat(z, name, 0, &info) != 0)
        return lev_fail(err, LEV_E_FORMAT, "no %.100s in the ZIP", name);
    const zip_uint64_t need =
        ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE | ZIP_STAT_ENCRYPTION_METHOD;
    if ((info.valid & need) != need || info.encryption_method != ZIP_EM_NONE)
        return lev_fail(err, LEV_E_FORMAT, "%.100s is encrypted", name);
    if (info.size > most)
        return lev_fail(err, LEV_E_LIMIT, "%.100s of %llu bytes; at most %zu", name,
                        (unsigned long long)info.size, most);
    if (info.size > INFLATE_MOST * (info.comp_size + 16))
        return lev_fail(
            err, LEV_E_FORMAT, "%.100s claims %llu bytes from %llu packed ones", name,
            (unsigned long long)info.size, (unsigned long long)info.comp_size);
    *size = info.size;
    return LEV_OK;
}

static lev_status read_entry(zip_t *z, const char *name, size_t most, lev_bytes *out,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    zip_uint64_t size = 0;
    void *p = NULL;
    zip_file_t *f = NULL;
    LEV_TRY(entry_size(z, name, most, &size, err));
    LEV_TRY(lev_mem_new((size_t)size + 1, 1, &p, err));
    f = zip_fopen(z, name, 0);
    if (f == NULL)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "%.100s: %s", name, zip_strerror(z)));
    if (zip_fread(f, p, size) != (zip_int64_t)size)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "%.100s is damaged", name));
    char more;
    if (zip_fread(f, &more, 1) != 0) /* also makes libzip check the CRC */
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "%.100s is damaged", name));
    *out = (lev_bytes){p, (size_t)size};
    p = NULL;
out:
    if (f != NULL)
        (void)zip_fclose(f);
    lev_mem_free(p);
    return st;
}

static void check_md5(const lev_bytes *b, const char *want, const char *what,
                      lev_surface *out)
{
    char got[33];
    if (want[0] == '\0')
        return;
    lev_md5(b->data, b->n, got);
    if (!lev_text_same(got, want))
        (void)snprintf(out->warning, sizeof out->warning,
                       "the checksum of %.100s does not fit", what);
}

static const char *plain_link(const char *link)
{
    while (*link == '.' || *link == '/' || *link == '\\')
        link++;
    return link;
}

/* A folder may be parted from its file by a backslash, in the link or in the ZIP. */
static void find_link(zip_t *z, char *link)
{
    static const char other[][2] = {{'\\', '/'}, {'/', '\\'}};
    for (int k = 0; k < 2 && zip_name_locate(z, plain_link(link), 0) < 0; k++)
        for (char *p = link; *p != '\0'; p++)
            *p = *p == other[k][0] ? other[k][1] : *p;
}

/* One point from the binary; v = numbers of the absolute axes. */
static const unsigned char *take_point(const x3p_head *h, const unsigned char *p,
                                       double *v)
{
    for (int i = 0; i < X3P_AXES; i++) {
        if (!h->axis[i].absolute)
            continue;
        *v++ = lev_cell_read(p, h->axis[i].type);
        p += lev_cell_bytes(h->axis[i].type);
    }
    return p;
}

static lev_status read_binary(zip_t *z, x3p_head *h, x3p_points *points, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_bytes data = {0}, mask = {0};
    zip_uint64_t size = 0;
    find_link(z, h->points);
    find_link(z, h->valid);
    const char *name = plain_link(h->points);
    LEV_TRY(entry_size(z, name, LEV_LIMIT_SURFACE_BYTES, &size, err));
    LEV_TRY(x3p_open_points(points, (size_t)size, err));
    LEV_TRY(read_entry(z, name, LEV_LIMIT_SURFACE_BYTES, &data, err));
    check_md5(&data, h->points_md5, name, points->out);
    if (h->valid[0] != '\0') {
        LEV_TRY(
            read_entry(z, plain_link(h->valid), LEV_LIMIT_SURFACE_BYTES, &mask, err));
        check_md5(&mask, h->valid_md5, h->valid, points->out);
        if (mask.n < (size_t)(points->n + 7) / 8)
            LEV_TRY(lev_fail(err, LEV_E_FORMAT, "mask of %zu bytes for %td points",
                             mask.n, points->n));
    }
    const unsigned char *p = (const unsigned char *)data.data;
    for (ptrdiff_t i = 0; i < points->n; i++) {
        double v[X3P_AXES];
        p = take_point(h, p, v);
        const bool valid = mask.data == NULL || (mask.data[i / 8] >> (i % 8) & 1) != 0;
        LEV_TRY(x3p_put_point(points, valid ? v : NULL, err));
    }
    LEV_TRY(x3p_close_points(points, err));
out:
    lev_bytes_release(&data);
    lev_bytes_release(&mask);
    return st;
}

/* The md5sum line of main.xml; a file without one is let pass. */
static lev_status check_main(zip_t *z, const x3p_head *h, const lev_bytes *xml,
                             lev_surface *out, lev_error *err)
{
    enum { MOST = 4096 };
    lev_bytes sum = {0};
    const char *name = plain_link(h->checksum_file);
    const lev_status st =
        name[0] != '\0' ? read_entry(z, name, MOST, &sum, err) : LEV_E_FORMAT;
    if (st == LEV_OK && sum.n >= 32) {
        sum.data[32] = '\0';
        check_md5(xml, sum.data, "main.xml", out);
    }
    lev_bytes_release(&sum);
    return st == LEV_E_MEMORY ? st : LEV_OK;
}

static void warn_without_step(const x3p_head *h, lev_surface *out)
{
    for (int i = 0; i < 2; i++)
        if (!h->axis[i].absolute && !h->axis[i].stepped && h->size[i] > 1.5)
            (void)snprintf(out->warning, sizeof out->warning,
                           "no increment along %c is given; the format makes it 1 m",
                           'x' + i);
}

static lev_status read(lev_cursor in, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    zip_t *z = NULL;
    lev_bytes xml = {0};
    x3p_head head;
    x3p_points points = {.head = &head, .out = out};
    (void)hint;
    LEV_TRY(open_zip(&in, &z, err));
    LEV_TRY(read_entry(z, "main.xml", LEV_LIMIT_XML_BYTES, &xml, err));
    LEV_TRY(x3p_read_xml(xml.data, xml.n, &head, &points, err));
    if (!head.has_list) {
        if (head.points[0] == '\0')
            LEV_TRY(lev_fail(err, LEV_E_FORMAT, "main.xml names no points"));
        LEV_TRY(read_binary(z, &head, &points, err));
    }
    warn_without_step(&head, out);
    LEV_TRY(check_main(z, &head, &xml, out, err));
out:
    x3p_points_release(&points);
    lev_bytes_release(&xml);
    if (z != NULL)
        zip_discard(z);
    return st;
}

const lev_format lev_format_x3p = {"x3p", sniff, read};
