/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers in and out. See num.h. strtod and snprintf do the exact conversions; what
 * they take or print for the decimal point is replaced, since it follows the locale. */
#include "num.h"

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "units.h"

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Bytes of the number at s; *point = offset of its decimal sign or -1. */
static size_t number_length(const char *s, bool comma_ok, ptrdiff_t *point)
{
    size_t i = 0, digits = 0;
    *point = -1;
    if (s[i] == '-' || s[i] == '+')
        i++;
    for (; is_digit(s[i]); i++)
        digits++;
    if ((s[i] == '.' || (comma_ok && s[i] == ',')) &&
        (digits > 0 || is_digit(s[i + 1]))) {
        *point = (ptrdiff_t)i;
        for (i++; is_digit(s[i]); i++)
            digits++;
    }
    if (digits == 0)
        return 0;
    if (s[i] == 'e' || s[i] == 'E') {
        size_t j = i + 1;
        if (s[j] == '-' || s[j] == '+')
            j++;
        if (is_digit(s[j])) {
            while (is_digit(s[j]))
                j++;
            i = j;
        }
    }
    return i;
}

double lev_num_read(const char *s, bool comma_ok, const char **end)
{
    char buf[512];
    ptrdiff_t point = -1;
    const size_t n = number_length(s, comma_ok, &point);
    const char *sign = localeconv()->decimal_point;
    const size_t sign_n = strlen(sign);

    *end = s + n;
    if (n == 0 || n + sign_n >= sizeof buf) {
        *end = s;
        return 0.0;
    }
    if (point < 0) {
        memcpy(buf, s, n);
        buf[n] = '\0';
    } else {
        const size_t head = (size_t)point;
        memcpy(buf, s, head);
        memcpy(buf + head, sign, sign_n);
        memcpy(buf + head + sign_n, s + head + 1, n - head - 1);
        buf[n - 1 + sign_n] = '\0';
    }
    return strtod(buf, NULL);
}

bool lev_num_parse(const char *s, bool comma_ok, double *out)
{
    const char *end = s;
    const double x = lev_num_read(s, comma_ok, &end);
    if (end == s || *end != '\0' || !isfinite(x))
        return false;
    *out = x;
    return true;
}

static void point_instead_of_locale(char *s)
{
    const char *sign = localeconv()->decimal_point;
    char *p = strstr(s, sign);
    if (p == NULL || strcmp(sign, ".") == 0)
        return;
    *p = '.';
    memmove(p + 1, p + strlen(sign), strlen(p + strlen(sign)) + 1);
}

void lev_num_write(double value, int digits, char out[LEV_NUM_TEXT])
{
    if (digits > 0) {
        (void)snprintf(out, LEV_NUM_TEXT, "%.*g", digits, value);
    } else {
        for (int d = 15; d <= 17; d++) {
            (void)snprintf(out, LEV_NUM_TEXT, "%.*g", d, value);
            if (!(strtod(out, NULL) < value) && !(strtod(out, NULL) > value))
                break;
        }
    }
    point_instead_of_locale(out);
}

bool lev_near(double a, double b, double rtol, double atol)
{
    return fabs(a - b) <= atol + rtol * fmax(fabs(a), fabs(b));
}

double lev_norm_cdf(double x)
{
    return 0.5 * erfc(-x * 0.70710678118654752440); /* 1/sqrt(2) */
}

/* num[0] + num[1] x + ... + num[7] x^7, by Horner. */
static double poly7(const double c[8], double x)
{
    double y = c[7];
    for (int i = 6; i >= 0; i--)
        y = y * x + c[i];
    return y;
}

double lev_norm_quantile(double p)
{
    static const double a[8] = {3.3871328727963666080,    1.3314166789178437745e+2,
                                1.9715909503065514427e+3, 1.3731693765509461125e+4,
                                4.5921953931549871457e+4, 6.7265770927008700853e+4,
                                3.3430575583588128105e+4, 2.5090809287301226727e+3};
    static const double b[8] = {1.0,
                                4.2313330701600911252e+1,
                                6.8718700749205790830e+2,
                                5.3941960214247511077e+3,
                                2.1213794301586595867e+4,
                                3.9307895800092710610e+4,
                                2.8729085735721942674e+4,
                                5.2264952788528545610e+3};
    static const double c[8] = {1.42343711074968357734,    4.63033784615654529590,
                                5.76949722146069140550,    3.64784832476320460504,
                                1.27045825245236838258,    2.41780725177450611770e-1,
                                2.27238449892691845833e-2, 7.74545014278341407640e-4};
    static const double d[8] = {1.0,
                                2.05319162663775882187,
                                1.67638483018380384940,
                                6.89767334985100004550e-1,
                                1.48103976427480074590e-1,
                                1.51986665636164571966e-2,
                                5.47593808499534494600e-4,
                                1.05075007164441684324e-9};
    static const double e[8] = {6.65790464350110377720,    5.46378491116411436990,
                                1.78482653991729133580,    2.96560571828504891230e-1,
                                2.65321895265761230930e-2, 1.24266094738807843860e-3,
                                2.71155556874348757815e-5, 2.01033439929228813265e-7};
    static const double f[8] = {1.0,
                                5.99832206555887937690e-1,
                                1.36929880922735805310e-1,
                                1.48753612908506148525e-2,
                                7.86869131145613259100e-4,
                                1.84631831751005468180e-5,
                                1.42151175831644588870e-7,
                                2.04426310338993978564e-15};
    const double q = p - 0.5;
    if (fabs(q) <= 0.425) {
        const double r = 0.180625 - q * q;
        return q * poly7(a, r) / poly7(b, r);
    }
    const double tail = q < 0.0 ? p : 1.0 - p;
    if (!(tail > 0.0))
        return q < 0.0 ? -HUGE_VAL : HUGE_VAL;
    const double r = sqrt(-log(tail));
    const double x = r <= 5.0 ? poly7(c, r - 1.6) / poly7(d, r - 1.6)
                              : poly7(e, r - 5.0) / poly7(f, r - 5.0);
    return q < 0.0 ? -x : x;
}

void lev_gauss_legendre(int n, double *nodes, double *weights)
{
    for (int i = 0; i < (n + 1) / 2; i++) {
        double x = cos(LEV_PI * (i + 0.75) / (n + 0.5)), slope = 1.0;
        for (int pass = 0; pass < 100; pass++) {
            double p0 = 1.0, p1 = x;
            for (int k = 2; k <= n; k++) {
                const double p2 = ((2.0 * k - 1.0) * x * p1 - (k - 1.0) * p0) / k;
                p0 = p1;
                p1 = p2;
            }
            slope = n * (x * p1 - p0) / (x * x - 1.0);
            const double step = p1 / slope;
            x -= step;
            if (fabs(step) < 1e-15)
                break;
        }
        nodes[i] = -x;
        nodes[n - 1 - i] = x;
        weights[i] = weights[n - 1 - i] = 2.0 / ((1.0 - x * x) * slope * slope);
    }
}
