# an unknown material brings the nearest ids
$L material brasss_260
