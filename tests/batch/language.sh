#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The headless command is English in every locale: what it prints and what it writes is the same,
# byte for byte, where the user's language has a catalogue and a decimal comma.
set -u
root=$1
batch=$(realpath "$2")
catalogues=$(realpath "$3")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-language-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1

# The German locale, made here where the system can make one and has none.
locale=C.UTF-8
if localedef -i de_DE -f UTF-8 "$work/de_DE.UTF-8" >/dev/null 2>&1; then
  export LOCPATH=$work
  locale=de_DE.UTF-8
fi

in_english() { env -u LANGUAGE LC_ALL=C "$@"; }
in_german()
{
  env -u LC_ALL LANG=$locale LANGUAGE=de FAINTLINE_LOCALE="$catalogues" TEXTDOMAINDIR="$catalogues" "$@"
}

# Under these very variables a program that sets its locale is German.
catalogue_is_at_hand()
{
  in_german gettext -d faintline '%s is empty.' | grep -qx '%s ist leer\.'
}

# Every so many of the bad files that the tests of the readers know.
some_of() { printf '%s\n' "$1"/* | awk -v step="$2" 'NR % step == 1'; }

# The same said of bad input of every kind, with the same status.
same_words()
{
  local file n=0 english german bad=0
  : >empty.csv
  echo 'position/cm-1,strength' >unit-missing.csv
  for file in $(some_of "$root/tests/broken/comb-table" 5); do
    in_english "$batch" fit "$file" --out nothing >said.english 2>&1; english=$?
    in_german "$batch" fit "$file" --out nothing >said.german 2>&1; german=$?
    cmp said.english said.german && [ "$english" -eq "$german" ] || bad=1
    n=$((n + 1))
  done
  for file in $(some_of "$root/tests/broken/line-list" 8) empty.csv unit-missing.csv nowhere.csv; do
    in_english "$batch" convert "$file" --to csv --out nothing >said.english 2>&1; english=$?
    in_german "$batch" convert "$file" --to csv --out nothing >said.german 2>&1; german=$?
    cmp said.english said.german && [ "$english" -eq "$german" ] || bad=1
    n=$((n + 1))
  done
  [ "$n" -gt 15 ] || { echo "$n files only"; bad=1; }
  return $bad
}

# The library knows no options; the command names them.
hints()
{
  printf '##TITLE= a\n##XUNITS= 1/CM\n##YUNITS= ARBITRARY\n##FIRSTX= 1\n##LASTX= 2\n##NPOINTS= 2\n##XYDATA= (X++(Y..Y))\n1 1 1\n##END=\n' >units.dx
  in_german "$batch" convert units.dx --to comb --out nothing >said 2>&1
  grep -q 'which of the two it is\. See --columns\.$' said || { cat said; return 1; }
  sed '/^# temperature/d;/^# partition_sums/d' "$root/data/demo/nitrous-oxide.comb" >cold.comb
  in_german "$batch" fit cold.comb --out nothing >said 2>&1
  grep -q 'needed: temperature\..* See --set and --with\.$' said || { cat said; return 1; }
}

# What is written, warnings and all.
same_files()
{
  in_english "$batch" fit "$root/data/demo/nitrous-oxide.comb" --out english --report none >said.english 2>&1
  in_german "$batch" fit "$root/data/demo/nitrous-oxide.comb" --out german --report none >said.german 2>&1
  [ -s english/lines.csv ] && grep -q '80 lines' said.english || { cat said.english; return 1; }
  sed -i 's/english/german/' said.english
  sed -i '/"seconds"/d' english/summary.json german/summary.json # of the computing
  cmp said.english said.german && diff -r english german
}

if command -v gettext >/dev/null; then
  check "the German catalogue is at hand in $locale" catalogue_is_at_hand
else
  skip "the German catalogue is at hand" "no gettext"
fi
check "the same words of bad input" same_words
check "options are named by the command" hints
check "the same files" same_files
finish
