# a table that does not say its unit is asked for it
printf '1,2,3\n4,5,6\n' > m.csv
$L trace m.csv
code=$?
rm m.csv
exit $code
