#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# A file is one idea: at most 600 lines. A function is one sentence: at most 60 lines, counted from
# its name to its closing brace, which stand in the first column.
set -u
root=$1
. "$root/tests/support/tap.sh"
cd "$root" || exit 1

sources() { find src tests -name '*.[ch]' | sort; }

files_short()
{
  sources | xargs awk '
    FNR == 1 { name = FILENAME }
    FNR == 601 { print name " has more than 600 lines"; bad = 1 }
    END { exit bad }'
}

functions_short()
{
  awk -v most=60 '
    FNR == 1 { start = 0 }
    /^[A-Za-z_][A-Za-z0-9_]* \(/ { start = FNR; name = $1 }
    /^}$/ {
      if (start && FNR - start + 1 > most) {
        print FILENAME ":" start ": " name " has " FNR - start + 1 " lines"; bad = 1 }
      start = 0 }
    END { exit bad }' "$@"
}

all_functions_short()
{
  # shellcheck disable=SC2046
  functions_short $(find src tests -name '*.c' | sort)
}

can_fail()
{
  local file
  file=$(mktemp) || return 1
  { echo "long_one (void)"; echo "{"; yes '  x ();' | head -n 60; echo "}"; } > "$file"
  ! functions_short "$file"
  local status=$?
  rm -f "$file"
  return $status
}

licensed()
{
  local file bad=0
  for file in $(sources) \
    $(find tests data .ci -name '*.sh' -o -name run); do
    head -n 2 "$file" | grep -q 'SPDX-License-Identifier: GPL-3.0-or-later' ||
      { echo "$file: no licence in its first line"; bad=1; }
  done
  return $bad
}

check "no file above 600 lines" files_short
check "no function above 60 lines" all_functions_short
check "a function above 60 lines is found" can_fail
check "every source names its licence" licensed
finish
