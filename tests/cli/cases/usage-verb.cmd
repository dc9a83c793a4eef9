# a verb that is none is refused with one line
$L pla ex/clock.json
