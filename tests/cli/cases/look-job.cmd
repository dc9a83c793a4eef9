# every step of a job's ladder is told, the whole label beside it
$L look $TOP/tests/cli/jobs/plate.json -o job.png > text
grep -cE '^(plate|panel), ' text
grep -oE '^(START|draw-filing with a smooth file|P800) +gloss' text
head -c 8 job.png | od -An -c | tr -d ' '
rm job.png text
