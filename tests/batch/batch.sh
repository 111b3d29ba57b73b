#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The headless command from outside: exit statuses, words, files, what is left when it is stopped.
set -u
root=$1
batch=$(realpath "$2")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-batch-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1

# Invented lines in a 60 cm cavity; $1 is the number of teeth.
make_scene()
{
  cat <<END
# scene 1
# title = invented lines for the headless command
# repetition_rate = 125 MHz
# offset_frequency = 20 MHz
# observable = power
# temperature = 296 K
# pressure = 1.3 hPa
# mole_fraction = 1
# molar_mass = 44.0011 g/mol
# cavity = standing-wave
# coupling = locked
# cavity_length = 60 cm
# finesse = 12000
# first_tooth = 1868000
# teeth = $1
# noise = 0.0005
# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1
7789.10000 2e-25 0.0020
7789.80000 5e-26 0.0021
7790.50000 8e-25 0.0019
7791.20000 3e-25 0.0020
7791.90000 1e-25 0.0022
END
}

# status WANTED WORDS COMMAND...: the exit status, and the words among what it said.
status()
{
  local wanted=$1 words=$2 got
  shift 2
  "$@" >said 2>&1
  got=$?
  if [ "$got" -ne "$wanted" ]; then
    echo "status $got, expected $wanted, of: $*"
    cat said
    return 1
  fi
  grep -qi -e "$words" said || { echo "expected '$words' in:"; cat said; return 1; }
}

# The same, and no new file or folder beside it.
status_and_nothing()
{
  local before after result=0
  : > said
  before=$(find . | sort)
  status "$@" || result=1
  after=$(find . | sort)
  [ "$before" = "$after" ] || { echo "left behind:"; comm -13 <(echo "$before") <(echo "$after"); result=1; }
  return $result
}

fit() { "$batch" fit "$@"; }

# ---- help and wrong use
check "--help" status 0 "Usage: faintline-batch VERB" "$batch" --help
check "--version" status 0 "faintline-batch [0-9]" "$batch" --version
check "simulate --help" status 0 "Usage" "$batch" simulate --help
check "fit --help" status 0 "threshold" "$batch" fit --help
check "no verb is wrong use" status_and_nothing 2 "verb" "$batch"
check "a verb that is not there is wrong use" status_and_nothing 2 "no verb" "$batch" frobnicate

make_scene 6000 > small.scene
check "simulate" status 0 "6000 teeth" "$batch" simulate small.scene --out small.comb --truth small.csv
check "simulate writes the truth" grep -q "^1,7789.1,\|,7789.1," small.csv
"$batch" simulate small.scene --out again.comb --seed 1 >/dev/null
check "the default seed is 1, and the same seed gives the same bytes" cmp small.comb again.comb
"$batch" simulate small.scene --out other.comb --seed 2 >/dev/null
check "another seed gives other noise" bash -c "! cmp -s small.comb other.comb"

"$batch" simulate small.scene --out less.comb --set "teeth=5000" --set pressure='2.6 hPa' >/dev/null
check "simulate --set replaces a key" test "$(grep -c '^[0-9]' less.comb)" -eq 5000
check "simulate --set replaces a quantity" grep -q "^# pressure = 2.6 hPa" less.comb
check "simulate --set without unit" status_and_nothing 2 "pressure" \
  "$batch" simulate small.scene --out x.comb --set pressure=2
check "simulate --set with an unknown key" status_and_nothing 2 "frobnicate" \
  "$batch" simulate small.scene --out x.comb --set frobnicate=2
rm -f less.comb
check "simulate without scene" status_and_nothing 2 "scene" "$batch" simulate --out x.comb
check "simulate without --out" status_and_nothing 2 "out" "$batch" simulate small.scene
check "simulate with a seed that is none" status_and_nothing 2 "seed" \
  "$batch" simulate small.scene --out x.comb --seed one
check "fit without input" status_and_nothing 2 "input" fit --out x
check "fit without --out" status_and_nothing 2 "out" fit small.comb
check "an unknown option" status_and_nothing 2 "option" fit small.comb --out x --frobnicate
for n in 0 257 many -1; do
  check "--threads $n" status_and_nothing 2 "threads" fit small.comb --out x --threads=$n
done
check "--set without unit" status_and_nothing 2 "pressure" fit small.comb --out x --set pressure=1.3
check "--set with a word" status_and_nothing 2 "temperature" \
  fit small.comb --out x --set temperature=warm
check "--option with an unknown key" status_and_nothing 2 "frobnicate" \
  fit small.comb --out x --option frobnicate=1
check "--option without a value" status_and_nothing 2 "KEY=VALUE" \
  fit small.comb --out x --option threshold
check "--threshold out of range" status_and_nothing 2 "threshold" \
  fit small.comb --out x --threshold 0.1
check "--date that is none" status_and_nothing 2 "date" fit small.comb --out x --date yesterday

# ---- bad input
check "an input that is not there" status_and_nothing 3 "missing.comb" fit missing.comb --out x
check "a folder as input" status_and_nothing 3 "folder\|directory" fit / --out x
check "a scene that is not there" status_and_nothing 3 "missing.scene" \
  "$batch" simulate missing.scene --out x.comb
check "a comb table as scene" status_and_nothing 3 "small.comb" \
  "$batch" simulate small.comb --out x.comb
grep -v 'pressure\|finesse' small.comb > bare.comb
check "missing quantities are named all at once" status_and_nothing 3 "pressure.*finesse\|finesse.*pressure" \
  fit bare.comb --out x
check "foreign text without a map" status_and_nothing 3 "column" fit /etc/passwd --out x
check "a line list that is none" status_and_nothing 3 "small.scene" \
  fit small.comb --out x --lines small.scene
check "an output that cannot be written" status_and_nothing 3 "small.comb" \
  fit small.comb --out small.comb/x
# One bad file for each thing that can be wrong; each kind goes where it would be read.
for bad in $(find "$root/tests/broken" -type f | sort); do
  case $bad in
    *.comb | *.faintline | *.txt) arguments="fit $bad --out x" ;;
    *.scene) arguments="simulate $bad --out x.comb" ;;
    *.csv) arguments="fit small.comb --lines $bad --out x" ;;
    *) continue ;;
  esac
  # shellcheck disable=SC2086
  check "broken: ${bad#"$root"/tests/broken/}" \
    status_and_nothing 3 "$(basename "$bad")" "$batch" $arguments
done

# ---- a good run
check "fit" status 0 "5 lines" fit small.comb --out out
check "the folder holds what it should" \
  test "$(find out -type f -printf '%f\n' | sort | tr '\n' ' ')" = \
  "analysis.faintline correlations.csv figure.svg lines.csv report.pdf summary.json windows.csv "
check "nothing hidden is left" test -z "$(find . -name '.*' -not -name . )"
# docs/formats.md holds this list; a further column goes at the end.
heads="id,position/cm-1,u(position)/cm-1,frequency/MHz,u(frequency)/MHz,strength/(cm/molecule),"
heads+="u(strength)/(cm/molecule),u_noise(strength)/(cm/molecule),strength_296K/(cm/molecule),"
heads+="lorentz_hwhm/cm-1,u(lorentz_hwhm)/cm-1,doppler_hwhm/cm-1,u(doppler_hwhm)/cm-1,"
heads+="lower_energy/cm-1,u(lower_energy)/cm-1,upper,lower,snr,window,chi2_reduced,flags,remark"
check "heads of the columns" bash -c "grep -v '^#' out/lines.csv | head -n 1 | tr -d ' ' | grep -qF '$heads'"
check "a line a row" test "$(grep -vc '^#' out/lines.csv)" -eq 6
check "no date unless asked" bash -c "! grep -qi '^# *date' out/lines.csv"
check "the report is a PDF of several pages" \
  bash -c "test \$(pdfinfo out/report.pdf | sed -n 's/^Pages: *//p') -gt 1"
check "the figure is an SVG" xmllint --noout out/figure.svg
# Degrees of freedom of all windows are those of the whole, and a correlation lies between -1 and 1.
check "windows add up" python3 -c '
import csv, json
windows = list(csv.DictReader(open("out/windows.csv")))
summary = json.load(open("out/summary.json"))
assert len(windows) == summary["windows"]
assert abs(sum(float(w["chi2"]) for w in windows) / summary["chi2"] - 1) < 1e-9
assert sum(int(w["lines"]) for w in windows) == summary["lines"]'
check "correlations are such" python3 -c '
rows = open("out/correlations.csv").read().split("\n")[1:-1]
assert rows and all(0.2 <= abs(float(r.split(",")[4])) <= 1.0000001 for r in rows)'
check "the summary is JSON with what it should hold" python3 - out/summary.json <<'END'
import json, sys
summary = json.load(open(sys.argv[1], encoding="utf-8"))
for key in ("chi2_reduced", "seconds", "warnings"):
    assert key in summary, key
assert summary["seconds"] > 0
assert 0.8 < summary["chi2_reduced"] < 1.2, "5000 degrees of freedom scatter by 2 %"
END
check "without a terminal no progress is written" bash -c "'$batch' fit small.comb --out out 2>&1 >/dev/null | grep -q '%'; test \$? -ne 0"
if script -qec true /dev/null >/dev/null 2>&1 </dev/null; then
  check "with a terminal it is" \
    bash -c "script -qec \"'$batch' fit small.comb --out out\" /dev/null </dev/null | grep -q '%'"
else
  skip "with a terminal it is" "no pseudo-terminal can be opened here"
  fit small.comb --out out >/dev/null 2>&1
fi
cp -r out first
fit small.comb --out out >/dev/null 2>&1
for name in lines.csv analysis.faintline figure.svg report.pdf; do
  check "the same again, byte for byte: $name" cmp out/$name first/$name
done
check "fit from the analysis" status 0 "5 lines" fit first/analysis.faintline --out second
check "it gives the same line list, byte for byte" cmp first/lines.csv second/lines.csv
fit small.comb --out dated --date 2024-05-17 >/dev/null 2>&1
check "a date where asked" grep -q "2024-05-17" dated/lines.csv
check "any number of cores gives the same" \
  bash -c "'$batch' fit small.comb --out cores --threads 2 >/dev/null 2>&1 && cmp cores/lines.csv first/lines.csv"
check "from given lines" status 0 "5 lines" fit small.comb --out given --lines small.csv
check "an analysis among several inputs" status_and_nothing 2 "alone" \
  fit small.comb first/analysis.faintline --out x
check "a map of columns for an analysis" status_and_nothing 2 "columns" \
  fit first/analysis.faintline --out x --columns tooth,transmission

# ---- interleaved records, foreign text, missing quantities
grep '^#' small.comb | tee even.comb > odd.comb
grep -v '^#' small.comb | awk '{ print > ($1 % 2 ? "rows-odd" : "rows-even") }'
cat rows-odd >> odd.comb
cat rows-even >> even.comb
rm -f rows-odd rows-even
check "two interleaved records" status 0 "5 lines" fit even.comb odd.comb --out merged
check "they give the numbers of the whole" \
  cmp <(grep -v '^#' merged/lines.csv) <(grep -v '^#' first/lines.csv)
grep '^#' small.comb | grep '=' | grep -v '# columns' > conditions.txt
grep -v '^#' small.comb | tr ' ' ',' > foreign.csv
map=$(sed -n 's/^# columns = *//p' small.comb | tr ' ' ',')
check "foreign text with a map and its conditions" status 0 "5 lines" \
  fit foreign.csv --columns "$map" --with conditions.txt --out foreign
check "it gives the same numbers" \
  cmp <(grep -v '^#' foreign/lines.csv) <(grep -v '^#' first/lines.csv)
# Heads without units, as a newcomer's file has them: the refusal holds a map to copy, which works.
heads_suggest()
{
  local line
  { echo "frequency,$(sed -n 's/^# columns = *tooth *//p' small.comb | tr ' ' ',')"
    awk '!/^#/ { printf "%.5f", ($1 * 125e6 + 20e6) / 1e9
                 for (i = 2; i <= NF; i++) printf ",%s", $i
                 print "" }' small.comb
  } > heads.csv
  status_and_nothing 3 "columns mean must be told" \
    fit heads.csv --with conditions.txt --out heads || return 1
  line=$(sed -n "s/.*if it is right: --columns '\([^']*\)'.*/\1/p" said)
  [ "$line" = "${map/tooth/frequency/GHz}" ] || { cat said; return 1; }
  status 0 "5 lines" fit heads.csv --columns "$line" --with conditions.txt --out heads
}
check "heads without units suggest a map" heads_suggest
check "what is missing can be set" status 0 "5 lines" \
  fit bare.comb --set pressure='1.3 hPa' --set finesse=12000 --out set
check "it gives the same numbers too" \
  cmp <(grep -v '^#' set/lines.csv) <(grep -v '^#' first/lines.csv)

# ---- not converged: one step is not enough
check "what did not converge gives 1 and says so" status 1 "not converge" \
  fit small.comb --out short --option max_iterations=1
check "and is written all the same" test -s short/lines.csv

# ---- stopped in the middle
make_scene 60000 > large.scene
"$batch" simulate large.scene --out large.comb >/dev/null
began=$(date +%s%N)
fit large.comb --out whole >/dev/null 2>&1
whole=$(($(date +%s%N) - began))
# Shares of a whole run, in seconds.
shares() { awk -v t="$whole" 'BEGIN { for (i = 1; i < ARGC; i++) printf "%.3f ", ARGV[i] * t * 1e-9 }' "$@"; }

# stop SIGNAL DELAY: the exit status of a fit that gets the signal after the delay.
stop()
{
  "$batch" fit large.comb --out stopped >said 2>&1 &
  local pid=$!
  sleep "$2"
  kill -s "$1" $pid 2>/dev/null
  wait $pid
}

# A fit that was over before the signal came proves nothing; it must then be whole.
stopped_leaves_nothing()
{
  local signal=$1 wanted=$2 delay got caught=0
  shift 2
  for delay in $(shares "$@"); do
    rm -rf stopped
    stop "$signal" $delay
    got=$?
    if [ $got -eq 0 ]; then
      diff <(cd whole && find . -type f | sort) <(cd stopped && find . -type f | sort) >said ||
        { echo "done, but not whole:"; cat said; return 1; }
      continue
    fi
    caught=$((caught + 1))
    [ $got -eq "$wanted" ] || { echo "status $got after $delay s, expected $wanted"; cat said; return 1; }
    [ ! -e stopped ] || { echo "left after $delay s:"; find stopped; return 1; }
  done
  [ $caught -gt 0 ] || { echo "no run was caught in the middle"; return 1; }
}
check "SIGINT leaves nothing and gives 130" stopped_leaves_nothing INT 130 0.02 0.4 0.9
check "SIGTERM leaves nothing and gives 143" stopped_leaves_nothing TERM 143 0.02 0.4 0.9
check "nothing hidden is left after either" test -z "$(find . -name '.*' -not -name .)"
check "SIGKILL leaves no final file" stopped_leaves_nothing KILL 137 0.02 0.4 0.7 0.8 0.9 0.95 1

# ---- a full disk
full_disk()
{
  "$batch" fit small.comb --out full/out >said 2>&1
  local got=$?
  [ $got -eq 3 ] || { echo "status $got, expected 3"; cat said; return 1; }
  [ -z "$(find full -mindepth 1)" ] || { echo "left behind:"; find full; return 1; }
  grep -qi "space\|full" said || { echo "expected words on the full disk in:"; cat said; return 1; }
}
mkdir full
if [ "$(id -u)" -eq 0 ] && mount -t tmpfs -o size=64k tmpfs full 2>/dev/null; then
  check "a full disk" full_disk
  umount full
else
  skip "a full disk" "mounting a small file system needs root"
fi
finish
