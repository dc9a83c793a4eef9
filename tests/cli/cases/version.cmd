# the version is one line
$L --version
