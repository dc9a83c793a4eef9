# a long run at a terminal says how far it is, on one line that goes away
# leaves: f.csv f.png
cat > said.py <<'END'
import os, re, subprocess
ours, theirs = os.openpty()
run = subprocess.Popen([os.environ["L"], "relief", "--steps", "P120:40", "--material",
    "brass_360", "--drive", "hand-wood", "--points", "360", "-o", "f.csv"],
    stdout=subprocess.PIPE, stderr=theirs, text=True)
os.close(theirs)
text = b""
while True:
    try:
        data = os.read(ours, 4096)
    except OSError:
        break
    if not data:
        break
    text += data
text = text.decode()
said = run.stdout.read()
print(run.wait(), "LEAVES SA" in said)
print(bool(re.match(r"\r +[0-9]+ % done, about [0-9]+ (s|min) left", text)))
print(text.endswith(" \r"), "\n" in text)
END
python3 said.py
$L relief --steps P120:0.7 --material w_walnut --drive hand-wood --points 130 -o f.csv 2> quiet > out
wc -c < quiet | tr -d ' '
rm said.py out quiet
