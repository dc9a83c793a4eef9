# coarse grits of a long ladder run on a wider and coarser map; nothing is left out
$L relief --steps P60:9,P1200:0.4 --material w_walnut --drive hand-wood --points 200 --json | python3 -c "
import json, sys
d = json.load(sys.stdin)
a, b = d['steps']
print(d['left_out'], a['points'], b['points'], a['pitch_um'] > 3 * b['pitch_um'], b['pitch_um'] == d['pitch_um'])
print([t['made_by'] for t in b['textures']], 0.5 < b['textures'][0]['Sq_um'] / a['Sa_um'] < 2)"
