# a map written as text and read back as JSON keeps its symbols and settings
awk 'BEGIN { print "# dx_um 2\n# dy_um 2\n# z_unit um"; for (y = 0; y < 32; y++) for (x = 0; x < 32; x++) printf "%.6f%s", 0.5 * sin((x + y) * 6.283185307 / 16), x < 31 ? "," : "\n" }' > m.csv
$L trace m.csv --as-is --json | grep -E '"(levigate_json|kind|format|Sa_um|as_is|lay_deg|points_y)"' | sed 's/\([0-9]\.[0-9][0-9][0-9]\)[0-9]*/\1/'
rm m.csv
