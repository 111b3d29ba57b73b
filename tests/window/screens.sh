#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Pictures of every stage and dialog of the real window, to be looked at: screens.sh BUILD OUT
# [LOOK...]. A look is a theme, a size, a direction of writing or a language; all of them without
# one. OUT gets LOOK-NAME.png, LOOK.said with what the program said on stderr, and commands.txt.
# Everything is done by keys, since words and places differ from look to look.
set -u
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
root=$(realpath "$here/../..")
build=$(realpath "${1:?folder of the build}")
mkdir -p "${2:?folder for the pictures}"
out=$(realpath "$2")
shift 2
walks=${WALKS:-start import stages dialogs crowded review}
all="light dark contrast contrast-dark double large-text mirrored narrow wide de fr es zh_CN"
looks=${*:-$all}
place=$(mktemp -d)
display='' openbox='' program=''

# Ends what was started here.
end_all()
{
  kill $program $openbox $display 2>/dev/null
  wait 2>/dev/null
  rm -rf "$place"
}
trap end_all EXIT

# What differs from look to look: theme, size of the screen, scale, font, language.
describe()
{
  theme=Adwaita size=1600x1000 scale=1 font='Sans 10' language=en
  case $1 in
    light) ;;
    dark) theme=Adwaita:dark ;;
    contrast) theme=Adwaita:hc ;;
    contrast-dark) theme=Adwaita:hc-dark ;;
    double) size=3200x2000 scale=2 ;;
    large-text) font='Sans 20' ;;
    mirrored) language=ar ;;
    narrow) size=1024x640 ;;
    wide) size=2560x1080 ;;
    de | fr | es | zh_CN) language=$1 ;;
    *) echo "screens.sh: no look is called $1; there are: $all" >&2; exit 2 ;;
  esac
}

# A home of its own, so that nothing of the person who runs this is seen or changed.
make_home()
{
  rm -rf "$place/home" "$place/desk"
  mkdir -p "$place/home/config/gtk-4.0" "$place/desk" "$place/locale/ar/LC_MESSAGES"
  cat >"$place/home/config/gtk-4.0/settings.ini" <<END
[Settings]
gtk-font-name=$font
gtk-enable-animations=false
gtk-cursor-blink=false
END
  # A catalogue that translates nothing is enough for the direction of writing.
  printf 'msgid ""\nmsgstr ""\n"Language: ar\\n"\n"Content-Type: text/plain; charset=UTF-8\\n"\n' |
    msgfmt -o "$place/locale/ar/LC_MESSAGES/faintline.mo" -
  export HOME=$place/home XDG_CONFIG_HOME=$place/home/config XDG_DATA_HOME=$place/home/data
  export XDG_CACHE_HOME=$place/home/cache XDG_STATE_HOME=$place/home/state
  export LANG=C.UTF-8 LANGUAGE=$language GTK_THEME=$theme GDK_SCALE=$scale
  export GDK_BACKEND=x11 GSK_RENDERER=cairo GSETTINGS_BACKEND=memory GTK_A11Y=none
  export GDK_DEBUG=gl-disable GSETTINGS_SCHEMA_DIR=$build/data FAINTLINE_DATA=$root/data
  export FAINTLINE_LOCALE=$build/po
  [ "$language" = ar ] && FAINTLINE_LOCALE=$place/locale
  unset LC_ALL GIO_EXTRA_MODULES
}

start_display()
{
  rm -f "$place/number"
  Xvfb -displayfd 3 -nolisten tcp -noreset -screen 0 "${size}x24" 3>"$place/number" 2>/dev/null &
  display=$!
  until [ -s "$place/number" ]; do sleep 0.1; done
  DISPLAY=:$(cat "$place/number")
  export DISPLAY
  openbox --sm-disable >/dev/null 2>&1 &
  openbox=$!
  sleep 0.5
}

end_display()
{
  kill "$openbox" "$display" 2>/dev/null
  wait "$openbox" "$display" 2>/dev/null
}

# Waits until the picture stands still: two equal ones half a second apart.
settle()
{
  local before='' now n
  for n in $(seq 60); do
    sleep 0.5
    now=$(import -window root rgb:- | sha256sum)
    [ "$now" = "$before" ] && return
    before=$now
  done
  echo "$look: still moving after $n pictures" >&2
}

shot()
{
  settle
  import -window root "$out/$look-$1.png"
}

keys() { xdotool key --delay 80 "$@"; sleep 0.3; }

# The window, as large as the screen, with FILE... open.
start()
{
  echo "## faintline $*" >>"$out/$look.said"
  "$build/src/app/faintline" "$@" >>"$out/$look.said" 2>&1 &
  program=$!
  local window
  window=$(xdotool search --sync --onlyvisible --class faintline 2>/dev/null | sort -n | head -1)
  xdotool windowmove "$window" 0 0 windowsize "$window" "${size%x*}" "${size#*x}"
  sleep 0.5
  settle
}

stop()
{
  kill "$program" 2>/dev/null
  wait "$program" 2>/dev/null
  program=''
}

# Opens the first file dialog that KEYS bring up on FILE.
choose()
{
  settle
  xdotool type --delay 30 "$1"
  sleep 0.5
  keys Return
  settle
}

# Start page with work that a crash left behind; help, keys, about.
walk_start()
{
  make_leftover
  start
  shot start
  keys F10; shot start-menu
  keys Escape
  keys ctrl+o; shot open
  keys Escape
  keys ctrl+question; shot keys
  keys Escape
  keys F1; shot help
  keys Escape
  keys F10 Up Return; shot about
  keys Escape
  stop
  rm -rf "$XDG_STATE_HOME/faintline"
}

# A text that says nothing of its columns; one that cannot be read.
walk_import()
{
  printf 'comment of an instrument\n# more of it\n' >"$place/desk/foreign.txt"
  awk 'BEGIN { for (i = 0; i < 40; i++)
    printf "%.5f;%.6f;%.6f;%d\n", 7790 + 0.00834 * i, 0.98 + 0.01 * sin (i), 1.0, i }' \
    >>"$place/desk/foreign.txt"
  start "$place/desk/foreign.txt"
  shot import
  keys Escape
  stop
  printf 'no spectrum\n' >"$place/desk/wrong.comb"
  start "$place/desk/wrong.comb"
  shot wrong
  stop
}

walk_stages()
{
  start "$place/desk/demo.faintline"
  keys ctrl+1; shot data
  keys ctrl+2; shot cavity
  keys ctrl+i; shot what-if-stated
  keys Right Right Right Right Right Right; shot what-if
  keys Escape
  keys ctrl+3; shot lines-none
  keys n n n n n n n n n n n n f; shot lines
  keys ctrl+k; shot correlation
  keys Escape
  keys ctrl+j; shot quality
  keys Escape
  keys ctrl+4; shot strengths
  keys ctrl+5 ctrl+m; sleep 2; shot assignment
  keys ctrl+1
  keys ctrl+g; shot go-to
  keys Escape
  stop
}

walk_dialogs()
{
  start "$place/desk/demo.faintline"
  keys ctrl+3 n
  keys F10; shot menu
  keys Escape
  keys shift+F10; shot plot-menu
  keys Escape
  keys ctrl+shift+s; shot save
  keys Escape
  keys ctrl+e; shot export
  keys Escape
  keys ctrl+p; shot print
  keys Escape
  keys Delete; sleep 1
  keys F10 Up Up Up Up Up Up Up Return; shot record
  keys Escape
  keys ctrl+q; shot close
  stop
}

walk_crowded()
{
  start "$root/data/samples/crowded.comb"
  keys ctrl+3; shot unfitted
  keys ctrl+shift+Return; sleep 1; shot crowded
  keys n n n n f; shot crowded-near
  keys F9; shot crowded-folded
  stop
}

walk_review()
{
  start "$root/data/demo/nitrous-oxide.comb"
  keys ctrl+6; shot review-none
  keys F6 space
  choose "$root/data/review/faults.csv"
  keys ctrl+shift+r; sleep 1; shot review
  keys Tab Tab Tab Tab Tab Tab Tab Tab space; shot sign-off
  keys Escape
  keys shift+F6 n n n; shot review-line
  stop
}

# Work that was not saved, left behind by a program that was killed.
make_leftover()
{
  start "$place/desk/demo.faintline"
  keys ctrl+3 n Delete
  sleep 13 # beyond the delay of the copy, see src/app/document/document-recovery.c
  kill -9 "$program"
  wait "$program" 2>/dev/null
  program=''
}

# The demo with its lines found and fitted, and levels to assign them with.
make_analysis()
{
  local levels=$root/data/levels/nitrous-oxide-ground.constants
  "$build/src/batch/faintline-batch" fit "$root/data/demo/nitrous-oxide.comb" \
    --out "$place/desk" >/dev/null || exit 1
  sed "s|^\[end\]|[assignment]\nlevels=$levels\nsha256=$(sha256sum "$levels" | cut -d' ' -f1)\nfree=\n\n&|" \
    "$place/desk/analysis.faintline" >"$place/desk/demo.faintline"
}

picture()
{
  describe "$1"
  look=$1
  : >"$out/$look.said"
  make_home
  start_display
  make_analysis
  for walk in $walks; do "walk_$walk"; done
  end_display
}

for look in $looks; do picture "$look"; done
