# every lay runs, and a one-way lay shows in the direction of the marks
for lay in straight cross orbital circular arcs; do
  $L relief --steps P120:0.7 --material w_walnut --drive hand-wood --points 130 --lay $lay --json | python3 -c "
import json, sys
d = json.load(sys.stdin)
lay = d['steps'][0]['lay']
print(lay, d['lay_strength'] > 0.9, min(d['lay_deg'], 180 - d['lay_deg']) < 5 if lay == 'straight' else '')"
done
