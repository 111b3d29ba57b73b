#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# What 'meson install' puts on a desktop is whole, and its validators accept it: install.sh ROOT BUILD.
set -u
root=$1 build=$2
. "$root/tests/support/tap.sh"
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
id=org.faintline.Faintline

installs() { DESTDIR=$place meson install -C "$build" --no-rebuild --quiet; }
check "it installs" installs
share=$(dirname "$(dirname "$(find "$place" -name "$id.desktop")")")
bin=$(dirname "$(find "$place" -name faintline-batch -type f)")

# The programs, what the desktop wants, the manual pages, samples, and a translation for every
# language of LINGUAS.
all_there()
{
  local file bad=0
  for file in "applications/$id.desktop" "metainfo/$id.metainfo.xml" "mime/packages/$id.mime.xml" \
    "icons/hicolor/scalable/apps/$id.svg" "icons/hicolor/symbolic/apps/$id-symbolic.svg" \
    "glib-2.0/schemas/$id.gschema.xml" man/man1/faintline.1 man/man1/faintline-batch.1 \
    $(cd "$root/data" && find demo samples levels partition -type f -not -name run |
      sed 's|^|faintline/|') \
    $(grep -v '^#' "$root/po/LINGUAS" | sed 's|.*|locale/&/LC_MESSAGES/faintline.mo|'); do
    [ -e "$share/$file" ] || [ -e "$share/$file.gz" ] || { echo "not installed: $file"; bad=1; }
  done
  [ -x "$bin/faintline" ] || { echo "not installed: faintline"; bad=1; }
  return $bad
}

# What the desktop file starts and draws, and the types it opens, are installed under those names.
entry_leads_somewhere()
{
  local entry=$share/applications/$id.desktop type bad=0
  [ -x "$bin/$(sed -n 's/^Exec=\([^ ]*\).*/\1/p' "$entry")" ] || { echo "Exec"; bad=1; }
  [ -e "$share/icons/hicolor/scalable/apps/$(sed -n 's/^Icon=//p' "$entry").svg" ] ||
    { echo "Icon"; bad=1; }
  for type in $(sed -n 's/^MimeType=//p' "$entry" | tr ';' ' '); do
    case $type in
      application/x-faintline* | *comb*)
        grep -q "type=\"$type\"" "$share/mime/packages/$id.mime.xml" ||
          { echo "no media type $type"; bad=1; } ;;
    esac
  done
  return $bad
}

check "everything is there" all_there
check "the desktop file is valid" desktop-file-validate "$share/applications/$id.desktop"
check "what it names is installed" entry_leads_somewhere
check "the metainfo is valid" appstreamcli validate --no-net "$share/metainfo/$id.metainfo.xml"
check "the settings compile" glib-compile-schemas --strict --dry-run "$share/glib-2.0/schemas"
check "the media types make a database" update-mime-database "$share/mime"
check "the program starts from there" "$bin/faintline-batch" --version
finish
