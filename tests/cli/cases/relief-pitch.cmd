# a pitch too coarse for a grit is refused with the one needed
$L relief --steps P120,P400 --material brass_360 --drive hand-wood --pitch-um 4 -o f.x3p
