# a P grit as JSON by the contract
$L grit P220 --json
