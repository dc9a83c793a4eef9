# a step the ladder does not have is one line
printf 'x_mm,z_um\n0,0\n1,1\n2,0\n3,1\n4,0\n' > p.csv
$L trace p.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plate
$L trace p.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plat --step 1
$L trace p.csv --as-is --job $TOP/tests/cli/jobs/plate.json --face plate --step 9
code=$?
rm p.csv
exit $code
