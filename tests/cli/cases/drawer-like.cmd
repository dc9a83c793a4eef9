# what stands in for a grit of another system, by overlap
# leaves: s.db
export LEVIGATE_DB=s.db
for g in P180 P220 P240 P400; do $L drawer add $g 2 --at 2026-01-05 > /dev/null; done
$L drawer like F220
$L drawer like P5000
