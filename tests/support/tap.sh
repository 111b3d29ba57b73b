# SPDX-License-Identifier: GPL-3.0-or-later
# TAP for shell tests: `check NAME COMMAND...` passes if the command succeeds and shows what it
# printed if not; `skip NAME WHY`; `finish` at the end.

tap_n=0
check()
{
  local name=$1 said
  shift
  tap_n=$((tap_n + 1))
  if said=$("$@" 2>&1); then
    echo "ok $tap_n - $name"
  else
    echo "not ok $tap_n - $name"
    printf '%s\n' "$said" | head -n 40 | sed 's/^/# /'
  fi
}

skip()
{
  tap_n=$((tap_n + 1))
  echo "ok $tap_n - $1 # SKIP $2"
}

finish()
{
  echo "1..$tap_n"
}
