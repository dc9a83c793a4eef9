# a job of several faces wants to be told which
$L relief ex/clock.json -o f.x3p
