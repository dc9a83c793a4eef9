# an interrupted run leaves nothing
timeout --preserve-status -s INT 2 $L relief --steps P120:30,P400 --material steel_1095_hard --drive hand-wood --points 1500 -o f.x3p 2> said
code=$?
grep -c cancelled said
rm said
exit $code
