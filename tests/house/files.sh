#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The top level holds what a reader expects, the documents name what exists, and the desktop's own
# validators accept our files.
set -u
root=$1
batch=$(realpath "$2")
built=$(realpath "$3")
. "$root/tests/support/tap.sh"
cd "$root" || exit 1

top_level()
{
  ! find . -maxdepth 1 -mindepth 1 -not -name '.*' -not -name 'build*' -printf '%f\n' |
    grep -vxE 'README\.md|DEVELOPERS\.md|LICENSE|meson\.build|src|ui|tests|data|po|docs'
}

# listed FOLDER...: each has its line in DEVELOPERS.md under the folder that holds it.
listed()
{
  local folder bad=0
  for folder; do
    sed -n "/^    $(dirname "$folder" | sed 's,/,\\/,g')\/ /,/^    [^ ]*\/ /{/^      /p;}" DEVELOPERS.md |
      grep -qE "^      $(basename "$folder")/ +[^ ]" ||
      { echo "DEVELOPERS.md says nothing of $folder"; bad=1; }
  done
  return $bad
}

# Every folder of the code has its line in DEVELOPERS.md.
folders_documented()
{
  local folder bad=0
  for folder in src/*/; do
    grep -qE "^    $folder +[^ ]" DEVELOPERS.md || { echo "DEVELOPERS.md says nothing of $folder"; bad=1; }
  done
  listed src/faint/*/ src/app/*/ && ! listed src/app/nothing >/dev/null && [ $bad = 0 ]
}

# Commands stand in README.md as indented lines that begin with './'.
readme_commands()
{
  local command bad=0 n=0
  for command in $(sed -n 's|^    \(\./[^ ]*\).*|\1|p' README.md); do
    n=$((n + 1))
    [ -x "$command" ] || { echo "README.md names $command, which cannot be run"; bad=1; }
  done
  [ "$n" -ge 2 ] || { echo "README.md shows $n commands, expected two or more"; bad=1; }
  return $bad
}

# A relative link of a document leads to a file.
links_lead_somewhere()
{
  local document link bad=0
  for document in README.md DEVELOPERS.md docs/*.md; do
    for link in $(grep -oE '\]\([^)#:]+' "$document" | sed 's/^](//'); do
      [ -e "$(dirname "$document")/$link" ] || { echo "$document: $link is not there"; bad=1; }
    done
  done
  return $bad
}

# So does a path in backticks; one with a capital word, as in tests/LAYER, is a pattern.
paths_exist()
{
  local document path bad=0
  for document in README.md DEVELOPERS.md docs/*.md; do
    for path in $(grep -oE '`(\./)?(src|tests|data|docs|ui|po)/[^` ]*`' "$document" | tr -d '`' |
      grep -vE '/[A-Z]+[/.]|-[A-Z]+'); do
      [ -e "$path" ] || { echo "$document: $path is not there"; bad=1; }
    done
  done
  return $bad
}

# The verbs of the manual page and of --help are the same.
verbs_agree()
{
  local listed described
  listed=$("$batch" --help | sed -n '/^Verbs/,/^$/s/^  \([a-z]*\) .*/\1/p' | sort)
  described=$(sed -n 's/^\.SS faintline-batch \([a-z]*\).*/\1/p' docs/man/faintline-batch.1 | sort)
  [ -n "$listed" ] && [ "$listed" = "$described" ] ||
    { printf 'help:\n%s\nmanual page:\n%s\n' "$listed" "$described"; return 1; }
}

manual_pages()
{
  local page bad=0 said
  for page in docs/man/*.1; do
    said=$(MANWIDTH=80 man --warnings -E UTF-8 -l -Tutf8 -Z "$page" 2>&1 >/dev/null)
    [ -z "$said" ] || { echo "$page: $said"; bad=1; }
  done
  return $bad
}

check "the top level holds what it should" top_level
check "DEVELOPERS.md names every folder" folders_documented
check "README.md's commands exist" readme_commands
check "links lead to files" links_lead_somewhere
check "paths that the documents name exist" paths_exist
check "help and manual page list the same verbs" verbs_agree
if command -v man >/dev/null; then
  check "the manual pages have no errors" manual_pages
else
  skip "the manual pages have no errors" "man is not installed"
fi
check "the desktop file is valid" desktop-file-validate "$built"/org.faintline.Faintline.desktop
check "the metainfo is valid" \
  appstreamcli validate --no-net "$built"/org.faintline.Faintline.metainfo.xml
# Every language of the window is in both.
languages_merged()
{
  local language bad=0
  for language in $(grep -v '^#' po/LINGUAS); do
    grep -q "^Comment\\[$language\\]=" "$built/org.faintline.Faintline.desktop" ||
      { echo "the desktop file has no Comment in $language"; bad=1; }
    grep -q "<summary xml:lang=\"$language\">" "$built/org.faintline.Faintline.metainfo.xml" ||
      { echo "the metainfo has no summary in $language"; bad=1; }
  done
  return $bad
}
check "desktop file and metainfo speak every language" languages_merged
check "the media types are well-formed" xmllint --noout data/org.faintline.Faintline.mime.xml
check "the icons are well-formed" xmllint --noout data/icons/*.svg
finish
