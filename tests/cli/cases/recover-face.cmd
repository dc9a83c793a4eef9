# a face that is none of the job brings the nearest
$L recover ex/clock.json --face front-plates --found-after 1 --felt needle
