#!/usr/bin/env bash
# From a wafer to the next chip: whole-chip.sh PROGRAM FOLDER writes every step's files into FOLDER.
# Each step reads only what the step before wrote. The measurement is made up: a chip whose film and size differ from the
# design by what only this script knows (folder hidden/), looked at with noise, missing peaks and lines of the mount.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
tymbal=$(realpath "$1")
mkdir -p "$2/hidden"
cd "$2"

echo "1 film: the wafer's bow gives the stress"
cp "$here/wafer.toml" "$here/wish.toml" .
"$tymbal" film wafer.toml --design wish.toml --write-design 1-film.toml --json 1-film.json --quiet

echo "2 choose: holes and size for the wanted frequency"
"$tymbal" choose 1-film.toml --samples 8 --accuracy 1e-3 --write-design 2-chosen.toml --json 2-choice.json --quiet

echo "3 release: what the etch sets free, how long it may act, the sheet for the clean room"
"$tymbal" release 2-chosen.toml --json 3-release.json --run-sheet 3-run-sheet.html --quiet

echo "4 pattern: what the mask writer draws, and the holes as a list"
"$tymbal" record new 2-chosen.toml --name "Skerry 7-1" --wafer "Skerry wafer 7" --record record.db --quiet
"$tymbal" pattern 2-chosen.toml --out 4-chip.gds --witness undercut-ruler --record record.db --quiet
"$tymbal" pattern 2-chosen.toml --out 4-holes.csv --quiet

echo "5 predict and report: which modes, which losses"
"$tymbal" predict 2-chosen.toml --json 5-prediction.json --csv 5-modes.csv --fields 5-fields --quiet
"$tymbal" report 2-chosen.toml --out 5-report.html --quiet

echo "6 plan: where and how to look"
"$tymbal" plan 2-chosen.toml --csv 6-plan.csv --json 6-plan.json --quiet

echo "7 measure: a chip with 2.5 % more stress and sides 0.15 um longer than designed"
awk '
    /^\[/ { section = $1 }
    section == "[film]" && $1 == "stress" { match($0, /[0-9.]+/)
        printf "stress = \"%.6f MPa\"\n", 1.025 * substr($0, RSTART, RLENGTH); next }
    section == "[outline]" && ($1 == "width" || $1 == "height") { match($0, /[0-9.]+/)
        printf "%s = \"%.6f um\"\n", $1, 0.15 + substr($0, RSTART, RLENGTH); next }
    { print }' 2-chosen.toml >hidden/chip.toml
"$tymbal" predict hidden/chip.toml --modes 20 --accuracy 2e-4 --csv hidden/modes.csv --quiet
awk -F, '
    # The label holds a comma, so the frequency is the fourth part of a line.
    # Numbers between 0 and 1 that are the same everywhere: a linear congruence small enough for whole doubles.
    function dice() { seed = (seed * 16807) % 2147483647; return seed / 2147483647 }
    function noise(sum, k) { sum = 0; for (k = 0; k < 12; ++k) sum += dice(); return sum - 6 }
    BEGIN { seed = 20; print "# made data, see whole-chip.sh\n# pressure: 1e-6 mbar\nfrequency (Hz),uncertainty (Hz)" }
    NR == 1 { next }
    { f = $4; sigma = 3e-5 * f; if (NR != 6 && NR != 12 && NR != 17) printf "%.1f,%.1f\n", f + sigma * noise(), sigma }
    NR == 2 || NR == 4 || NR == 8 { g = f * (1.1 + 0.1 * dice()); printf "%.1f,%.1f\n", g, 3e-5 * g }
    ' hidden/modes.csv | awk 'NR <= 3 { print; next } { print | "sort -g" }' >7-measured.csv

echo "8 compare: which peak is which mode, and what the film is"
"$tymbal" compare 2-chosen.toml 7-measured.csv --json 8-comparison.json --plot 8-comparison.svg \
    --write-design 8-fitted.toml --record record.db --quiet

echo "9 predict again, and a report with the measurement in it"
"$tymbal" predict 8-fitted.toml --json 9-prediction.json --quiet
"$tymbal" report 8-fitted.toml --measured 7-measured.csv --out 9-report.html --quiet

echo "10 record: what this chip teaches the next one"
cp 2-chosen.toml 10-next.toml
"$tymbal" record learn --record record.db --write 10-next.toml --json 10-learned.json --quiet

echo "11 the next chip: size ladder, hole ladder and pad, with the film that the first one taught"
mkdir -p 11-chip
cp "$here/chip.toml" "$here/drum.toml" "$here/pad.toml" "$here/buoy.svg" 11-chip
"$tymbal" record learn --record record.db --write 11-chip/chip.toml --quiet
"$tymbal" draw 11-chip/chip.toml --out 11-chip.svg --quiet

echo "12 all its devices: modes, one bath, what to look for"
"$tymbal" predict 11-chip/chip.toml --csv 12-modes.csv --json 12-prediction.json --record record.db --quiet
"$tymbal" release 11-chip/chip.toml --json 12-release.json --run-sheet 12-run-sheet.html --record record.db --quiet
"$tymbal" plan 11-chip/chip.toml --json 12-plan.json --quiet

echo "13 what the mask writer draws, all of it on one page, and the record"
"$tymbal" pattern 11-chip/chip.toml --out 13-chip.gds --record record.db --quiet
"$tymbal" report 11-chip/chip.toml --record record.db --out 13-report.html --quiet
"$tymbal" record show "Skerry chip 12" --record record.db --json 13-record.json --quiet
"$tymbal" record check --record record.db --quiet
