# an ending that is no surface format is refused before anything is simulated
$L relief --steps P120 --material brass_360 --drive hand-wood -o f.doc
