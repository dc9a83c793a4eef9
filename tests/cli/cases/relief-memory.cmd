# a map larger than the memory allowed is refused before it is allocated
$L relief --steps P120 --material brass_360 --drive hand-wood --points 20000 --memory-mb 100 -o f.x3p
