# a map narrower than three grains is refused
$L relief --steps P120 --material brass_360 --drive hand-wood --size-mm 0.1 -o f.x3p
