# the deepest line of a measured face gives depth, length and direction
awk 'BEGIN { print "# dx_um 4\n# dy_um 4\n# z_unit um"; for (y = 0; y < 128; y++) for (x = 0; x < 128; x++) { z = 0.2 * sin(y * 0.9) + 0.1 * sin(y * 2.3); d = x - y; if (d < 0) d = -d; if (d < 3) z -= 4 * (1 - d / 3); printf "%.4f%s", z, x < 127 ? "," : "\n" } }' > line.csv
$L recover $TOP/tests/cli/jobs/plate.json --face plate --found-after 2 --trace line.csv | sed -n '2,4p'
$L recover $TOP/tests/cli/jobs/plate.json --face plate --found-after 2 --trace line.csv --json | grep -E '"(found_by|depth_um|line_mm|direction_deg|cause|back_to_step|mode)"' | sed 's/\([0-9]\.[0-9]\)[0-9]*/\1/'
$L recover $TOP/tests/cli/jobs/plate.json --face plate --found-after 2 --trace line.csv --depth-um 3
code=$?
rm line.csv
exit $code
