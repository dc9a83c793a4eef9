# a photo is kept under its hash, and a change of it is noticed
# leaves: s.db s.db-files photo.jpg
export LEVIGATE_DB=s.db
printf abc > photo.jpg
$L job add ex/clock.json --as clock --at 2026-01-05 > /dev/null
$L job attach clock photo.jpg --face case-side --reason "as it came" --at 2026-01-05
ls s.db-files
$L verify | tail -2
printf abd > s.db-files/ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad
$L verify
