#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The window is killed in the midst of changed work, started again, and the work is there: after a
# kill between two copies, and in the middle of writing one. test-recovery.sh ROOT WINDOW BATCH
# SCHEMAS SLOW-WRITE, inside xvfb-run.
set -u
root=$1 window=$2 batch=$3 slow=$5
. "$root/tests/support/tap.sh"
place=$(mktemp -d)
program=''
trap 'kill -9 $program 2>/dev/null; rm -rf "$place"' EXIT
mkdir -p "$place/config/glib-2.0/settings" "$place/config/gtk-4.0"
# A copy of changed work is made after so many seconds.
printf '[org/faintline/Faintline]\ncopy-delay=1\n' >"$place/config/glib-2.0/settings/keyfile"
printf '[Settings]\ngtk-enable-animations=false\n' >"$place/config/gtk-4.0/settings.ini"
export HOME=$place XDG_CONFIG_HOME=$place/config XDG_DATA_HOME=$place/data
export XDG_STATE_HOME=$place/state XDG_CACHE_HOME=$place/cache FAINTLINE_DATA=$root/data
export GSETTINGS_SCHEMA_DIR=$4 GSETTINGS_BACKEND=keyfile LANG=C.UTF-8 LANGUAGE=en GTK_A11Y=none
# A sanitizer wants to be the first library and is not.
export FAINT_TEST_SLOW=$place/slow ASAN_OPTIONS=${ASAN_OPTIONS:-}:verify_asan_link_order=0
unsaved=$place/state/faintline/unsaved

# Polls for 30 s until the command succeeds.
until_so()
{
  local n
  for n in $(seq 150); do
    "$@" && return
    sleep 0.2
  done
  echo "waited in vain: $*"
  return 1
}

start()
{
  LD_PRELOAD=$slow "$window" "$@" 2>>"$place/said" &
  program=$!
  until_so xdotool search --onlyvisible --pid "$program" --class faintline >"$place/id" 2>/dev/null
  sleep 1
}

kill_it()
{
  kill -9 "$program"
  wait "$program" 2>/dev/null
  program=''
}

copies() { find "$unsaved" -name '*.faintline' -not -name '.*' 2>/dev/null; }
there_is_one() { [ "$(copies | wc -l)" = 1 ]; }
part_is_there() { [ -n "$(find "$unsaved" -name '*.part' -size +0 2>/dev/null)" ]; }
is_other() { there_is_one && ! cmp -s "$(copies)" "$1"; }

# The lines of an analysis, without what tells of the file and the time.
lines_of() { "$batch" convert "$1" --to csv --out "$place/list.csv" >/dev/null && grep -v '^#' "$place/list.csv"; }
n_lines() { lines_of "$1" | tail -n +2 | wc -l; }

# Recovers what the start page offers first, saves it to FILE and leaves.
recover_to()
{
  start
  xdotool key Return
  sleep 2
  xdotool key ctrl+s
  sleep 2
  xdotool type --delay 30 "$1"
  sleep 0.5
  xdotool key Return
  until_so test -s "$1" || return 1
  until_so nothing_left || return 1
  xdotool key ctrl+w
  until_so ended
}
nothing_left() { [ -z "$(copies)" ]; }
ended() { ! kill -0 "$program" 2>/dev/null; }

killed_between_copies()
{
  local n
  start "$place/desk/analysis.faintline"
  xdotool key n Delete
  until_so there_is_one || return 1
  cp "$(copies)" "$place/copy.faintline"
  until_so fitted "$place/copy.faintline" || return 1
  kill_it
  cp "$(copies)" "$unsaved/../copy.faintline"
  n=$(n_lines "$(copies)")
  [ "$n" = $((whole - 1)) ] || { echo "$n lines in the copy, expected $((whole - 1))"; return 1; }
  lines_of "$(copies)" >"$place/expected"
  recover_to "$place/desk/recovered.faintline" || return 1
  lines_of "$place/desk/recovered.faintline" | diff "$place/expected" - ||
    { echo "the work that came back is another"; return 1; }
}
fitted() { cp "$(copies)" "$1" && grep -q 'chi2' "$1"; }

killed_while_writing()
{
  start "$place/desk/analysis.faintline"
  xdotool key n Delete
  until_so there_is_one || return 1
  sleep 3 # the fit that follows is over, and its copy is made
  lines_of "$(copies)" >"$place/expected"
  : >"$FAINT_TEST_SLOW"
  xdotool key n Delete
  until_so part_is_there || return 1
  sleep 0.5
  kill_it
  rm "$FAINT_TEST_SLOW"
  there_is_one || { echo "expected one copy:"; ls -la "$unsaved"; return 1; }
  recover_to "$place/desk/again.faintline" || return 1
  lines_of "$place/desk/again.faintline" | diff "$place/expected" - ||
    { echo "the work that came back is another"; return 1; }
}

quiet()
{
  [ ! -s "$place/said" ] || { cat "$place/said"; return 1; }
}

"$batch" fit "$root/data/demo/nitrous-oxide.comb" --out "$place/desk" >/dev/null || exit 1
whole=$(n_lines "$place/desk/analysis.faintline")
check "work comes back after a kill" killed_between_copies
check "and after a kill in the middle of writing a copy" killed_while_writing
check "nothing is said on stderr" quiet
finish
