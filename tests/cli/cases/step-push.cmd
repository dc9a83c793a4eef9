# a push that is none is refused
$L step --material brass_260 --grit P400 --drive hand-wood --push mighty
