# all readings of several files are held against the target by the rule of the job
for a in 0.28 0.31 0.45; do awk -v a=$a 'BEGIN { print "x_mm,z_um"; for (i = 0; i < 1000; i++) printf "%.3f,%.6f\n", i / 250, a * sin(i * 6.283185307 / 25) }' > p$a.csv; done
J="--as-is --job $TOP/tests/cli/jobs/plate.json --face plate --step 2"
$L trace p0.28.csv p0.31.csv $J; echo "exit $?"
$L trace p0.28.csv p0.31.csv p0.45.csv $J; echo "exit $?"
$L trace p0.28.csv p0.31.csv p0.45.csv $J --accept median; echo "exit $?"
$L trace p0.28.csv p0.31.csv p0.45.csv $J --accept max --json | python3 -c '
import json, sys
d = json.load(sys.stdin)
l = d["limit"]
print(d["verdict"], l["accepted"], l["readings"], l["beyond"], l["rule"], l["standard"], len(d["readings"]))'
rm p0.28.csv p0.31.csv p0.45.csv
