#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The window from outside, through the accessibility bus: test-accessible.sh ROOT WINDOW BATCH
# SCHEMAS, inside xvfb-run. Nothing may be said on stderr.
set -u
root=$1 window=$2 batch=$3
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
mkdir -m 700 "$place/runtime"
export HOME=$place XDG_RUNTIME_DIR=$place/runtime GSETTINGS_SCHEMA_DIR=$4 FAINTLINE_DATA=$root/data
export LANG=C.UTF-8 LANGUAGE=en NO_AT_BRIDGE=0
unset DBUS_SESSION_BUS_ADDRESS GTK_A11Y XDG_CONFIG_HOME XDG_DATA_HOME XDG_CACHE_HOME
give_up() { printf 'not ok 1 - %s\n1..1\n' "$1"; exit 0; }
/usr/bin/python3 -c 'import gi; gi.require_version("Atspi", "2.0")' 2>/dev/null ||
  { echo "1..0 # SKIP the accessibility bus has no reader here (gir1.2-atspi-2.0, python3-gi)"; exit 0; }
"$batch" fit "$root/data/demo/nitrous-oxide.comb" --out "$place/out" >/dev/null 2>&1 ||
  give_up "the headless fit did not end well"
dbus-run-session -- sh -c '
  "$0" 2>"$1/said" & window=$!
  /usr/bin/python3 "$2" "$1/out/lines.csv" 2>"$1/python"
  kill $window; wait $window' "$window" "$place" "$root/tests/window/test-accessible.py" \
  2>/dev/null >"$place/tap"
if ! grep -q '^1\.\.' "$place/tap"; then
  n=$(($(grep -c '^\(not \)\?ok' "$place/tap") + 1))
  cat "$place/tap"
  echo "not ok $n - the walk came to its end"
  sed 's/^/# /' "$place/python"
  echo "1..$n"
  exit 0
fi
n=$(($(sed -n 's/^1\.\.//p' "$place/tap") + 1))
grep '^\(\(not \)\?ok\|#\)' "$place/tap"
if [ -s "$place/said" ]; then
  echo "not ok $n - nothing is said on stderr"
  sed 's/^/# /' "$place/said"
else
  echo "ok $n - nothing is said on stderr"
fi
echo "1..$n"
