# a plan without a job says what it wants
$L plan
