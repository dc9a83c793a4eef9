# a sine z = A cos(pi m), A = 1.25 um: half of it above the mean line, A / sqrt 2 at a quarter
# leaves: sine.csv
python3 -c "
from math import pi, sin
print('x_mm,z_um')
for i in range(1600):
    x = (i + 0.5) / 1600
    print('%.6f,%.9f' % (4 * x, 1.25 * sin(2 * pi * 21 * x)))" > sine.csv
$L trace sine.csv --as-is --ratio-at-um 0 --height-at-pct 25 --height-at-pct 75 --json | python3 -c "
import json, sys
a = json.load(sys.stdin)
print(abs(a['Rmr_pct'] - 50) < 0.1, abs(a['Rmc_um'] - 1.25 / 2 ** 0.5) < 0.002, abs(a['Rdc_um'] - 1.25 * 2 ** 0.5) < 0.004)"
$L trace sine.csv --as-is --ratio-at-um 0.5 --height-at-pct 10 | grep asked
$L trace sine.csv --height-at-pct 1 --height-at-pct 2 --height-at-pct 3
