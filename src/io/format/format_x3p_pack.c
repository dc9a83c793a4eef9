/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writing X3P: float32 maps and float64 profiles, NaN for missing points. Dates are
 * fixed, so the same surface gives the same bytes. */
#include <string.h>
#include <zip.h>

#include "mem.h"
#include "units.h"
#include "x3p.h"

static void pack_axis(lev_pack *p, char name, double step_um)
{
    lev_pack_print(p, "<C%c><AxisType>I</AxisType><Increment>", name);
    lev_pack_number(p, step_um / LEV_UM_PER_M, 0);
    lev_pack_print(p, "</Increment><Offset>0</Offset></C%c>", name);
}

static void pack_xml(const lev_surface *s, const lev_bytes *points, lev_pack *p)
{
    char sum[33];
    const bool map = lev_surface_is_map(s);
    lev_md5(points->data, points->n, sum);
    lev_pack_text(
        p, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<p:ISO5436_2 "
           "xmlns:p=\"http://www.opengps.eu/2008/ISO5436_2\">\n<Record1><Revision>"
           "ISO5436 - 2000</Revision><FeatureType>");
    lev_pack_text(p, map ? "SUR" : "PRF");
    lev_pack_text(p, "</FeatureType><Axes>");
    pack_axis(p, 'X', map ? s->map.dx_um : s->trace.dx_um);
    pack_axis(p, 'Y', map ? s->map.dy_um : s->trace.dx_um);
    /* Heights stand as micrometres: the increment turns them into metres. */
    lev_pack_print(p,
                   "<CZ><AxisType>A</AxisType><DataType>%c</DataType><Increment>1e-06"
                   "</Increment><Offset>0</Offset></CZ></Axes></Record1>\n",
                   map ? 'F' : 'D');
    lev_pack_print(p,
                   "<Record3><MatrixDimension><SizeX>%td</SizeX><SizeY>%td</SizeY>"
                   "<SizeZ>1</SizeZ></MatrixDimension><DataLink><PointDataLink>"
                   "bindata/data.bin</PointDataLink><MD5ChecksumPointData>%s"
                   "</MD5ChecksumPointData></DataLink></Record3>\n",
                   lev_format_nx(s), lev_format_ny(s), sum);
    lev_pack_text(p, "<Record4><ChecksumFile>md5checksum.hex</ChecksumFile></Record4>\n"
                     "</p:ISO5436_2>\n");
}

static lev_status add_entry(zip_t *z, const char *name, const lev_bytes *b,
                            lev_error *err)
{
    zip_source_t *src = zip_source_buffer(z, b->data, b->n, 0);
    const zip_int64_t at =
        src != NULL ? zip_file_add(z, name, src, ZIP_FL_OVERWRITE) : -1;
    if (at < 0) {
        zip_source_free(src);
        return lev_fail(err, LEV_E_SYSTEM, "%s: %s", name, zip_strerror(z));
    }
    /* 2000-01-01 00:00 in the ZIP's own date and time */
    (void)zip_file_set_dostime(z, (zip_uint64_t)at, 0, 20 << 9 | 1 << 5 | 1, 0);
    return LEV_OK;
}

/* Take the finished ZIP out of its source. */
static lev_status take_source(zip_source_t *src, lev_bytes *out, lev_error *err)
{
    void *p = NULL;
    zip_stat_t info;
    if (zip_source_open(src) < 0)
        return lev_fail(err, LEV_E_SYSTEM, "the ZIP cannot be read back");
    if (zip_source_stat(src, &info) < 0 || (info.valid & ZIP_STAT_SIZE) == 0) {
        (void)zip_source_close(src);
        return lev_fail(err, LEV_E_SYSTEM, "the ZIP has no size");
    }
    lev_status st = lev_mem_new((size_t)info.size + 1, 1, &p, err);
    if (st == LEV_OK && zip_source_read(src, p, info.size) != (zip_int64_t)info.size)
        st = lev_fail(err, LEV_E_SYSTEM, "the ZIP cannot be read back");
    (void)zip_source_close(src);
    if (st < 0) {
        lev_mem_free(p);
        return st;
    }
    *out = (lev_bytes){p, (size_t)info.size};
    return LEV_OK;
}

static lev_status zip_up(const lev_bytes *xml, const lev_bytes *points,
                         const lev_bytes *sum, lev_bytes *out, lev_error *err)
{
    lev_status st = LEV_OK;
    zip_source_t *src = zip_source_buffer_create(NULL, 0, 0, NULL);
    if (src == NULL)
        return lev_fail(err, LEV_E_MEMORY, "out of memory");
    zip_source_keep(src);
    zip_t *z = zip_open_from_source(src, ZIP_TRUNCATE, NULL);
    if (z == NULL) {
        zip_source_free(src);
        LEV_TRY(lev_fail(err, LEV_E_SYSTEM, "no ZIP can be made"));
    }
    LEV_TRY(add_entry(z, "main.xml", xml, err));
    LEV_TRY(add_entry(z, "bindata/data.bin", points, err));
    LEV_TRY(add_entry(z, "md5checksum.hex", sum, err));
    if (zip_close(z) < 0)
        LEV_TRY(lev_fail(err, LEV_E_SYSTEM, "ZIP: %s", zip_strerror(z)));
    z = NULL;
    LEV_TRY(take_source(src, out, err));
out:
    if (z != NULL)
        zip_discard(z);
    zip_source_free(src);
    return st;
}

lev_status lev_x3p_pack(const lev_surface *s, lev_bytes *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_pack data = {0}, xml = {0}, line = {0};
    lev_bytes b = {0}, x = {0}, l = {0};
    char sum[33];
    const int type = lev_surface_is_map(s) ? LEV_CELL_F32 : LEV_CELL_F64;
    for (ptrdiff_t i = 0; i < lev_format_nx(s) * lev_format_ny(s); i++)
        lev_pack_le(&data, lev_format_get(s, i), type);
    LEV_TRY(lev_pack_take(&data, &b, err));
    pack_xml(s, &b, &xml);
    LEV_TRY(lev_pack_take(&xml, &x, err));
    lev_md5(x.data, x.n, sum);
    lev_pack_print(&line, "%s *main.xml\n", sum);
    LEV_TRY(lev_pack_take(&line, &l, err));
    LEV_TRY(zip_up(&x, &b, &l, out, err));
out:
    lev_bytes_release(&b);
    lev_bytes_release(&x);
    lev_bytes_release(&l);
    return st;
}
