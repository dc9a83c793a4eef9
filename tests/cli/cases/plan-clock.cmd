# every face of the demo clock is feasible, card written, pages readable
# leaves: c.json c.pdf
$L plan ex/clock.json --json -o c.pdf > c.json
python3 - <<EOF
import json
d = json.load(open("c.json"))
print(d["levigate_json"], d["currency"], d["feasible"])
for f in d["faces"]:
    last = f["ladders"][0]["steps"][-1]
    assert f["feasible"] and f["cautions"] and f["pareto"], f["name"]
    assert len(f["answer"]) <= 60, f["answer"]
    for key in ("kind", "label", "drive", "push", "remove_um", "time_s", "sheets",
                "Ra_after_um", "check", "gate", "why", "direction", "stroke", "fluid"):
        assert key in last, key
    order = [c["severity"] for c in f["cautions"]]
    assert order == sorted(order, key=["danger", "warning", "info"].index)
    print(f["name"])
EOF
pdftotext c.pdf - | grep -c "What went wrong" > /dev/null && echo card
