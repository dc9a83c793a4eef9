# a line left in the direction of the step before keeps the face, told by the job
awk 'BEGIN { print "# dx_um 4\n# dy_um 4\n# z_unit um"; for (y = 0; y < 128; y++) for (x = 0; x < 128; x++) { z = 0.15 * sin(y * 0.9) + 0.05 * sin(y * 2.3); d = x - y; if (d < 0) d = -d; if (d < 3) z -= 0.5 * (1 - d / 3); printf "%.4f%s", z, x < 127 ? "," : "\n" } }' > old.csv
$L trace old.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plate --step 2 | head -3
$L trace old.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plate --step 2 --length-deg 45 | head -3
$L trace old.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plate --step 2 > all
code=$?
rm old.csv all
exit $code
