# the nearest grits of another system, methods told apart
$L grit P1200 --like JIS
