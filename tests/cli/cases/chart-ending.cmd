# a chart of no known format is refused, nothing written
$L chart -o chart.bmp
