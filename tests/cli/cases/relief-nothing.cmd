# neither job nor steps
$L relief -o f.x3p
