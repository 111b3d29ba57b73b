#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Assignment from outside: a band of the demo molecule without labels gets the labels it was made
# with, wrong use and bad input are told, and nothing is left behind.
set -u
root=$1
batch=$(realpath "$2")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-assign-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
ground=$root/data/levels/nitrous-oxide-ground.constants

# status WANTED WORDS COMMAND...: the exit status, and the words among what it said.
status()
{
  local wanted=$1 words=$2 got
  shift 2
  "$@" >said 2>&1
  got=$?
  [ "$got" -eq "$wanted" ] && grep -q -e "$words" said ||
    { echo "status $got, expected $wanted with '$words', of: $*"; cat said; return 1; }
}

# Positions and strengths of the scene that the demo spectrum is made from; labels stay here.
make_list()
{
  awk 'BEGIN { print "id,position/cm-1,u(position)/cm-1,strength/(cm/molecule),u(strength)/(cm/molecule)" }
    /^[0-9]/ { n++; printf "%d,%s,1e-5,%s,%g\n", n, $1, $2, 0.02 * $2 }' \
    "$root/data/scenes/demo.scene" > list.csv
  awk '/^[0-9]/ && NF == 6 && $5 != "-" { print $1, $5, $6 }' "$root/data/scenes/demo.scene" | sort > truth
}

assigns()
{
  make_list
  status 0 "assigned in 1 band" "$batch" assign list.csv --constants "$ground" --out out || return 1
  [ "$(ls out | tr '\n' ' ')" = "assignment.csv constants.csv lines.csv predictions.csv summary.json " ] ||
    { ls out; return 1; }
}

# Every label is the one of the scene, and all lines of the band have one.
labels_right()
{
  awk -F, 'FNR == 1 { next } !/^#/ && $1 ~ /^[0-9]+$/ && $4 != "" { printf "%.6f %s %s\n", $2, $4, $5 }' \
    out/assignment.csv | sort > got
  diff truth got
}

# The band was made with B' = 0.41542 and origin 7808.35 cm-1 (data/scenes/demo.scene); positions have
# six decimals and strengths no part in this.
constants_right()
{
  awk -F, '$2 == "origin\x27" { d = $3 - 7808.35; if (d < 0) d = -d; if (d < 1e-5) n++ }
    $2 == "B\x27" { d = $3 - 0.41542; if (d < 0) d = -d; if (d < 1e-6) n++ }
    END { exit n != 2 }' out/constants.csv || { cat out/constants.csv; return 1; }
}

# Labels survive in the list, which can be read and checked again; a wrong position is told.
given()
{
  status 0 "assigned in 1 band" "$batch" assign out/lines.csv --given --constants "$ground" \
    --out again || return 1
  sed '/J10e,J11e/ s/^\([0-9]*\),\([0-9]*\)\.[0-9]*,/\1,\2.999,/' out/lines.csv > wrong.csv
  status 1 "contradicted" "$batch" assign wrong.csv --given --constants "$ground" --out wrong ||
    return 1
  [ "$(grep -c ',contradicted,' wrong/assignment.csv)" = 1 ] &&
    grep ',contradicted,' wrong/assignment.csv | grep -q 'J10e,J11e'
}

# With all lines labelled there is nothing left.
unlabelled()
{
  grep -E '^#|^id|J[0-9]+e,' out/lines.csv > all.csv
  status 3 "no lines to assign" "$batch" assign all.csv --unlabelled --constants "$ground" \
    --out none && [ ! -e none ]
}

json_valid()
{
  python3 -c 'import json, sys; s = json.load(open(sys.argv[1])); sys.exit(s["assigned"] < 70)' \
    out/summary.json
}

wrong_use()
{
  status 2 "One line list is needed" "$batch" assign --constants "$ground" --out no &&
    status 2 "One of --constants FILE and --levels FILE" "$batch" assign list.csv --out no &&
    status 2 "\-\-out FOLDER is needed" "$batch" assign list.csv --constants "$ground" &&
    status 2 "'Z' is no constant" "$batch" assign list.csv --constants "$ground" --free B,Z --out no &&
    status 2 "no option 'speed'" "$batch" assign list.csv --constants "$ground" \
      --option speed=1 --out no &&
    status 2 "coverage is '0'" "$batch" assign list.csv --constants "$ground" \
      --option coverage=0 --out no &&
    status 2 "\-\-temperature" "$batch" assign list.csv --constants "$ground" \
      --temperature 296 --out no && [ ! -e no ]
}

bad_input()
{
  echo '# molecule = linear' > bad.constants
  printf '# molecule = linear\n# B = 0.419 K\n' > kelvin.constants
  printf '# molecule = linear\n# B = 0.419\n' > bare.constants
  printf 'id,strength/(cm/molecule)\n1,1e-24\n' > no-position.csv
  printf 'position/nm\n1280.1\n' > nm.csv
  printf 'position/cm-1\n' > zero.csv
  printf 'position/cm-1\nnan\n' > nan.csv
  printf 'position/cm-1\n7800.1\n' > one.csv
  status 3 "B is not above 0" "$batch" assign list.csv --constants bad.constants --out no &&
    status 3 "give it with --constants" "$batch" assign list.csv --levels "$ground" --out no &&
    status 3 "names no position" "$batch" assign no-position.csv --constants "$ground" --out no &&
    status 3 "unit that is not understood" "$batch" assign nm.csv --constants "$ground" --out no &&
    status 3 "no lines to assign" "$batch" assign zero.csv --constants "$ground" --out no &&
    status 3 "line 2, column 1: found 'nan'" "$batch" assign nan.csv --constants "$ground" \
      --out no &&
    status 3 "'K' is no unit" "$batch" assign list.csv --constants kelvin.constants --out no &&
    status 3 "has no unit" "$batch" assign list.csv --constants bare.constants --out no &&
    status 1 "0 of 1 lines assigned" "$batch" assign one.csv --constants "$ground" --out one &&
    status 3 "nowhere.csv" "$batch" assign nowhere.csv --constants "$ground" --out no &&
    [ ! -e no ]
}

# A branch without levels, from three of its lines: the numbers m are those of the labels, and the
# polynomial at m = 0 is the origin.
branch()
{
  local points
  points=$(awk -F, '/^[0-9]/ && ($5 == "J9e" || $5 == "J10e" || $5 == "J11e") && $7 == "R" {
    printf "%s%s:%s", n++ ? "," : "", $1, $9 }' out/assignment.csv)
  "$batch" assign list.csv --branch "$points" --out traced >said 2>&1 || { cat said; return 1; }
  awk -F, 'NR == FNR { if ($1 ~ /^[0-9]+$/) m[$1] = $9; next }
    /^-?[0-9]+,[0-9]+,/ { n++; if (m[$2] != $1) wrong++ }
    END { if (n < 70 || wrong > 0) { print n, "lines,", wrong + 0, "wrong"; exit 1 } }' \
    out/assignment.csv traced/branch.csv &&
    awk -F, '$1 == 0 { d = $5 - 7808.35; if (d < 0) d = -d; exit !(d < 4 * $6 + 1e-5) }' \
      traced/branch.csv &&
    status 2 "'5' is no line with its m" "$batch" assign list.csv --branch 5 --out no &&
    status 2 "without levels" "$batch" assign list.csv --branch 1:2,2:3 --constants "$ground" \
      --out no &&
    status 3 "Line 999 is not among" "$batch" assign list.csv --branch 1:2,999:3 --out no &&
    [ ! -e no ]
}

# Lines at random are not assigned, and it is said.
nothing()
{
  awk 'BEGIN { srand(3); print "position/cm-1,u(position)/cm-1"
    for (i = 0; i < 60; i++) printf "%.5f,1e-4\n", 7750 + 70 * rand() }' > random.csv
  status 1 "No line was assigned" "$batch" assign random.csv --constants "$ground" --out random
}

check "a list without labels is assigned" assigns
check "the labels are those it was made with" labels_right
check "the constants are those it was made with" constants_right
check "given labels are taken and checked" given
check "lines with labels are left alone" unlabelled
check "a branch is followed without levels" branch
if command -v python3 >/dev/null; then
  check "the summary is JSON" json_valid
else
  skip "the summary is JSON" "python3 is not installed"
fi
check "wrong use is told" wrong_use
check "bad input is told" bad_input
check "nothing to assign is told" nothing
finish
