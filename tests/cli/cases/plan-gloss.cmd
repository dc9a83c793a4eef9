# a target may be told as gloss or as type to be read
# leaves: j.json
for target in '"kind":"gloss","gu":300,"angle_deg":60,"lay":"along"' '"kind":"readable","type_mm":3,"distance_mm":20'; do
    printf '{"levigate":1,"name":"t","currency":"EUR","labour_minor_per_h":0,"faces":[{"name":"a","material":"brass_260","size_mm":[60,40],"shape":"flat","start":{"kind":"grit","system":"P","label":"P400"},"drives":["hand-wood","hand-felt"],"target":{%s}}]}' "$target" > j.json
    $L plan j.json --json | python3 -c "
import json, sys
print(json.load(sys.stdin)[\"faces\"][0][\"feasible\"])"
done
