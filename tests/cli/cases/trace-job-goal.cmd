# a reading is judged by the step of the ladder that was chosen, not of the usual one
printf 'x_mm,z_um\n0,0\n1,1\n2,0\n3,1\n4,0\n' > p.csv
J=$TOP/tests/cli/jobs/plate.json
for g in usual removal steps choice-1 plate=removal,panel=time; do
  $L plan $J --json --goal $g 2> no > plan.json || $L plan $J --json --goal plate=$g > plan.json
  $L trace p.csv --as-is --job $J --face plate --step 1 --goal $g > said
  python3 -c "
import json
f = json.load(open('plan.json'))['faces'][0]
l = next(x for x in f['ladders'] + f['choices'] if x['goal'] == f['chosen'])
want = 'after %s, step 1 of %d of plate' % (l['steps'][0]['label'], len(l['steps']))
print('$g:', f['chosen'], want, want in open('said').read())"
done
$L trace p.csv --as-is --job $J --face plate --step 1 --goal nobody=time
$L trace p.csv --as-is --job $J --face plate --step 2 --goal steps
$L trace p.csv --as-is --goal time
code=$?
rm p.csv plan.json said no
exit $code
