# an option that is none brings the nearest
$L grit P220 --jsn
