# lines of the step's own direction only let the next grit come; the job's limit is in Ra
awk 'BEGIN { print "# dx_um 4\n# dy_um 4\n# z_unit um"; for (y = 0; y < 128; y++) for (x = 0; x < 128; x++) printf "%.4f%s", 0.2 * sin(y * 0.9) + 0.1 * sin(y * 2.3), x < 127 ? "," : "\n" }' > own.csv
$L trace own.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plate --step 2 | head -4
$L trace own.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plate --step 2 --json | grep -E '"(verdict|old_lines|limit_due|limit_not_held)"'
rm own.csv
