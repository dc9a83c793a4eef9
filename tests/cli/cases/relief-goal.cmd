# a face is simulated through the ladder that was chosen, not the usual one
J=$TOP/tests/cli/jobs/plate.json
for g in usual removal steps; do
  $L plan $J --json --goal $g > plan.json
  $L relief $J --face plate --goal $g --points 180 --json > relief.json
  python3 -c "
import json
f = json.load(open('plan.json'))['faces'][0]
l = next(x for x in f['ladders'] + f['choices'] if x['goal'] == f['chosen'])
want = [s['label'] for s in l['steps']]
r = json.load(open('relief.json'))
got = r['left_out'] + [s['label'] for s in r['steps']]
print('$g:', got, got == want)"
done
$L relief $J --face plate --goal choice-99
$L relief --steps P120:1 --material w_walnut --drive hand-wood --goal time
code=$?
rm plan.json relief.json
exit $code
