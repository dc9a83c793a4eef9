# the same seed gives the same bits with the plain and the fast loops
# leaves: a.csv a.png b.csv b.png c.csv c.png
$L relief --steps P120:0.5 --material w_walnut --drive hand-wood --points 130 --seed 3 -o a.csv > /dev/null
$L relief --steps P120:0.5 --material w_walnut --drive hand-wood --points 130 --seed 3 --kern c -o b.csv > /dev/null
$L relief --steps P120:0.5 --material w_walnut --drive hand-wood --points 130 --seed 4 -o c.csv > /dev/null
cmp a.csv b.csv && echo same
cmp -s a.csv c.csv || echo other
