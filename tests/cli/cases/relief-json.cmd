# a simulated face is written with its picture and reads back as it was
# leaves: f.png f.x3p
$L relief --steps P120:1,P240:1.5 --material w_walnut --drive hand-wood --points 200 --seed 7 --json -o f.x3p | python3 -c "
import json, sys
d = json.load(sys.stdin)
print(d['seed'], d['rows'], len(d['steps']), d['left_out'], [t['made_by'] for t in d['steps'][1]['textures']])
print(abs(d['Sa_um'] - d['steps'][1]['Sa_um']) < 1e-3 * d['Sa_um'], 0 < d['steps'][1]['textures'][0]['left'] < 1)
print(all(k in d for k in ('Sa_um', 'Sq_um', 'Sz_um', 'Ssk', 'Sku', 'Sal_um', 'Sdq', 'Sdr_pct')))"
$L trace f.x3p --as-is --json | python3 -c "
import json, sys
print(json.load(sys.stdin)['Sa_um'] > 0)"
