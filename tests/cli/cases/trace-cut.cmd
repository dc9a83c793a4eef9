# a file cut short is refused in one line
printf 'ISO 5436 - 2000 a\nPRF 1 b\nCX I 3 mm 1.0 D 1e-3\nCZ A 3 um 1.0 D\n\003\n\003\n1\n2\n' > p.smd
$L trace p.smd
code=$?
rm p.smd
exit $code
