# a chart without a place to write is refused
$L chart
