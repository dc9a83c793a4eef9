# a profile of named columns gives its parameters and its deepest dales
awk 'BEGIN { print "x_mm,z_um"; for (i = 0; i < 1000; i++) printf "%.3f,%.6f\n", i / 250, sin(i * 6.283185307 / 50) - (i == 640 ? 2 : 0) }' > p.csv
$L trace p.csv --as-is --lines 2
rm p.csv
