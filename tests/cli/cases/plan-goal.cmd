# every point of the front has its ladder; the one that is named is printed and frozen
# leaves: a.json j.json c.pdf u.pdf s.db
$L plan ex/clock.json --json --goal time,front-plate=choice-1 > a.json
python3 - <<EOF
import json
d = json.load(open("a.json"))
for f in d["faces"]:
    named = {l["goal"]: l for l in f["ladders"] + f["choices"]}
    assert len(named) == len(f["ladders"]) + len(f["choices"])
    assert f["chosen"] == ("choice-1" if f["name"] == "front-plate" else "time"), f["chosen"]
    for p in f["pareto"]:
        l = named[p["goal"]]
        assert len(l["steps"]) == p["steps"], p
        assert " ".join(s["label"] for s in l["steps"] if s["kind"] != "grain") == p["ladder"], p
        assert abs(l["cost_minor"]["p50"] - p["cost_minor"]) < 0.1, p
        assert abs(l["remove_um"]["p50"] - p["remove_um"]) < 1e-6, p
        assert all(s["why"] for s in l["steps"])
    assert all(s["if_skipped"] for s in named[f["chosen"]]["steps"])
    assert all(l["goal"].startswith("choice-") for l in f["choices"])
print(sorted({len(f["choices"]) for f in d["faces"]}))
f = [f for f in d["faces"] if f["name"] == "front-plate"][0]
print(f["answer"])
d = json.load(open("ex/clock.json"))
d["faces"] = [f for f in d["faces"] if f["name"] == "front-plate"]
json.dump(d, open("j.json", "w"))
EOF
$L plan j.json --goal choice-1 -o c.pdf | head -1
$L plan j.json -o u.pdf | head -1
pdftotext c.pdf - | grep -m1 "START WITH"
cmp -s c.pdf u.pdf || echo "another card"
$L --db s.db job add j.json --as b > /dev/null
$L --db s.db job start b --goal front-plate=choice-1 --no-log > /dev/null
$L --db s.db job show b --json | python3 -c 'import json, sys
print([s["words"] for s in json.load(sys.stdin)["steps"]])'
$L --db s.db job add j.json --as c > /dev/null
for g in fast time,rim=money choice-40 front-plate= "" ,; do
  $L plan j.json --goal "$g" | head -1; $L --db s.db job start c --goal "$g" --no-log | head -1
done
$L recover j.json --face front-plate --found-after 1 --felt nail --goal choice-1 | head -1
