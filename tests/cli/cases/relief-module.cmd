# a missing module is found before anything is simulated
cp "$L" alone
./alone relief --steps P120:30 --material steel_1095_hard --drive hand-wood --points 1000 -o f.x3p 2> said
code=$?
grep -c "formats" said
rm said alone
exit $code
