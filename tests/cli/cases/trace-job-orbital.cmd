# a spinning pad leaves no lay: nobody can tell old lines from new by their direction
awk 'BEGIN { print "# dx_um 4\n# dy_um 4\n# z_unit um"; for (y = 0; y < 64; y++) for (x = 0; x < 64; x++) printf "%.4f%s", 0.8 * sin(x * 0.9 + 0.02 * y * y) + 0.3 * sin(y * 0.7), x < 63 ? "," : "\n" }' > curls.csv
$L trace curls.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face panel --step 1 > all
code=$?
head -3 all
rm curls.csv all
exit $code
