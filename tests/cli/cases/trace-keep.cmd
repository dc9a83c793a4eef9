# a mark deeper than the step leaves keeps the face, whatever its mean roughness
awk 'BEGIN { print "x_mm,z_um"; for (i = 0; i < 1000; i++) printf "%.3f,%.6f\n", i / 250, 0.3 * sin(i * 6.283185307 / 50) - (i == 640 ? 2 : 0) }' > p.csv
$L trace p.csv --as-is --expect-ra-um 0.3 --expect-deepest-um 0.6 | head -2
$L trace p.csv --as-is --expect-ra-um 0.3 --expect-deepest-um 0.6 > all
code=$?
rm p.csv all
exit $code
