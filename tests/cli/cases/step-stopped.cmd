# an interrupted simulation of a step ends in order and says so
timeout --preserve-status -s INT 1 $L step --material brass_360 --grit P240 --after P60 --drive orbital --simulate 2> said
code=$?
grep -c cancelled said
rm said
exit $code
