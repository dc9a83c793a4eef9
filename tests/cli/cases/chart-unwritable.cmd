# a folder that is not there is one clear line
$L chart -o nowhere/chart.pdf
