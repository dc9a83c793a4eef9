# the store verb says what it wants
$L store; echo $?
$L store export; echo $?
$L store check x; echo $?
$L --db none.db store check; echo $?
