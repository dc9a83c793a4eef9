# the kernel run on a step agrees with the response surface, and says how far
$L step --material brass_360 --grit P120 --drive hand-wood --after P80 --simulate --seed 5 --json | python3 -c "
import json, sys
d = json.load(sys.stdin)
print(d['simulated'], d['seed'], sorted(d['differs_pct']), sorted(d['surface']))
print(all(abs(d['differs_pct'][k]) < most for k, most in
          (('Ra_um', 20), ('deepest_um', 30), ('removal_um_per_m', 5), ('clear_um', 50))))
print(all(abs(d['surface'][k] * (1 + d['differs_pct'][k] / 100) / v - 1) < 1e-9 for k, v in
          (('Ra_um', d['Ra_um']['p50']), ('clear_um', d['clear_um']))))"
$L step --material brass_360 --grit P120 --drive hand-wood --simulate | grep -c 'kernel   grain by grain'
