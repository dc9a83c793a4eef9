# bad input to look is one clear line each, and no picture is left behind
printf '# z_unit um\n0,1,0,1\n1,0,1,0\n0,1,0,1\n1,0,1,0\n' > nopitch.csv
awk 'BEGIN { print "# dx_um 50\n# dy_um 50\n# z_unit um"; for (y = 0; y < 32; y++) for (x = 0; x < 32; x++) printf "%.4f%s", 20 * sin(x * 2.1), x < 31 ? "," : "\n" }' > coarse.csv
awk 'BEGIN { print "# dx_um 1\n# dy_um 1\n# z_unit um"; for (y = 0; y < 32; y++) for (x = 0; x < 32; x++) printf "%s%s", x == 5 && y == 7 ? "" : "0.01", x < 31 ? "," : "\n" }' > missing.csv
$L look nopitch.csv --material brass_360 -o p.png; echo "exit $?"
$L look coarse.csv --material brass_360 -o p.png; echo "exit $?"
$L look missing.csv --material brass_360 -o p.png; echo "exit $?"
$L look --ra 0.1 --material unobtainium -o p.png; echo "exit $?"
$L look --ra 0.1; echo "exit $?"
$L look --material brass_360; echo "exit $?"
$L look --ra 0.1 --material brass_360 -o p.jpg; echo "exit $?"
rm nopitch.csv coarse.csv missing.csv
