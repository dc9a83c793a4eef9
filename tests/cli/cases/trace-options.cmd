# options that contradict each other, the file or the rules are told, one line each
awk 'BEGIN { print "x_mm,z_um"; for (i = 0; i < 2000; i++) printf "%.3f,%.6f\n", i / 500, sin(i * 6.283185307 / 50) }' > p.csv
awk 'BEGIN { print "# dx_um 10\n# dy_um 10\n# z_unit um"; for (j = 0; j < 20; j++) { for (i = 0; i < 20; i++) printf "%s%.3f", i ? ";" : "", sin(i + 0.3 * j); print "" } }' > m.csv
no() { $L trace "$@" 2>&1 | head -3; }
no p.csv --lc-mm 0.08 --ls-um 80
no p.csv --lc-mm 0.08 --ls-um 800
no p.csv --lc-mm 1000
no p.csv --as-is --lc-mm 0.8
no p.csv --as-is --filter robust
no p.csv --degree 3
no p.csv --z-unit nm --z-step-um 3
no p.csv --symbol Ra
no p.csv --accept median
no p.csv --length-deg 30
no p.csv --old-deg 10
no p.csv --expect-ra-most-um 2
no p.csv --expect-ra-um 3 --expect-ra-most-um 2
no p.csv --max-um 1 --min-um 2
no m.csv --sections 4
no m.csv --rule iso4287
no m.csv --lc-mm 0.02 --ls-um 30
no m.csv --profile-at 0.1 --as-is --rule iso4287 --sections 4 | head -1
# a word means the same in capitals, and what the file says of itself stands
$L trace p.csv --lc-mm 0.25 --rule ISO4287 --filter SPLINE --dx-um 7 --json | grep -E '"(rule|filter|dx_um|warning)"'
rm p.csv m.csv
