/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program that does nothing, for bench_cold. */
int main(void)
{
    return 0;
}
