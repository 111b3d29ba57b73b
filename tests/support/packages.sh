# SPDX-License-Identifier: GPL-3.0-or-later
# install_packages NAME...: installs those that are missing, as root or through sudo. Sourced by
# tests/run and data/demo/run.

install_packages()
{
  local name missing="" as_root=""

  if ! command -v dpkg-query >/dev/null; then
    echo "This is no Debian system: the packages are taken to be there." >&2
    return 0
  fi
  for name in "$@"; do
    [ "$(dpkg-query -W -f '${db:Status-Status}' "$name" 2>/dev/null)" = installed ] ||
      missing="$missing $name"
  done
  [ -n "$missing" ] || return 0
  if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null; then
      echo "These packages are missing:$missing" >&2
      echo "Install them as root, or install sudo." >&2
      return 1
    fi
    as_root=sudo
  fi
  $as_root apt-get update -q &&
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing
}
