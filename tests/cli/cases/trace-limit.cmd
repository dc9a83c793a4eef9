# a limit is held by the rule that was agreed, and missing it is exit 1
awk 'BEGIN { print "x_mm,z_um"; for (i = 0; i < 1000; i++) printf "%.3f,%.6f\n", i / 250, (i < 200 ? 1.3 : 0.8) * sin(i * 6.283185307 / 50) }' > p.csv
$L trace p.csv --as-is --max-um 0.6 | head -2
$L trace p.csv --as-is --max-um 0.6 --accept median | head -2
$L trace p.csv --as-is --max-um 0.6 > all
code=$?
rm p.csv all
exit $code
