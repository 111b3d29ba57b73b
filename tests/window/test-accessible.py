#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The window as assistive technology meets it: by names, roles and actions alone.

test-accessible.py LIST: prints TAP for the running window. LIST is the line list that the headless
command made of the sample, which the table has to show.
"""
import csv
import math
import re
import sys
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402

LIMIT = 60.0
INTERACTIVE = {"push button", "toggle button", "radio button", "check box", "combo box", "entry",
               "text", "password text", "spin button", "slider", "menu item", "page tab", "link"}
count = 0


def children(node):
    try:
        return [node.get_child_at_index(i) for i in range(node.get_child_count())]
    except GLib.Error:
        return []


def walk(node, role=""):
    """Everything, stages that are not shown too (GTK 4.8 does not tell), rows of long lists aside;
    a part of a control comes with the control's role."""
    if node is None:
        return
    try:
        mine = node.get_role_name()
    except GLib.Error:
        return
    yield node, role
    if mine == "list" and role == "tree table":
        return
    for child in children(node):
        yield from walk(child, mine)


def wait_for(what, find):
    """What `find` returns as soon as it is something."""
    end = time.monotonic() + LIMIT
    while time.monotonic() < end:
        try:
            found = find()
            if found:
                return found
        except GLib.Error:
            pass
        time.sleep(0.05)
    raise TimeoutError(what)


def name_of(node):
    return node.get_name() or ""


def find_application():
    desktop = Atspi.get_desktop(0)
    return next((a for a in children(desktop) if a and "faintline" in name_of(a)), None)


def named(application, name):
    """The control of that name; GTK 4.8 appends the words inside it."""
    def find():
        controls = [n for n, _ in walk(application) if n.get_role_name() in INTERACTIVE]
        return next((n for n in controls if name_of(n) == name), None) or next(
            (n for n in controls if name_of(n).startswith(name + " ")), None)
    return wait_for(name, find)


def press(application, name):
    named(application, name).do_action(0)


def says(application, text):
    return wait_for(text, lambda: any(text in name_of(n) for n, _ in walk(application)))


def check(name, good, comment=""):
    global count
    count += 1
    print(f"{'ok' if good else 'not ok'} {count} - {name}", flush=True)
    if not good:
        print(f"# {comment}", flush=True)


def nameless(application):
    """Controls whose name is that of their class. The inside of a drop-down and scroll bars are
    GTK's own and take their name from what they belong to."""
    return [f"{n.get_role_name()} {name_of(n)!r} in {role}" for n, role in walk(application)
            if n.get_role_name() in INTERACTIVE and role not in ("combo box", "scroll bar")
            and (not name_of(n) or re.match("(Gtk|Faint)[A-Z]", name_of(n)))]


def rows_of(application):
    table = wait_for("table", lambda: next(
        (n for n, _ in walk(application) if n.get_role_name() == "tree table"), None))
    lists = [c for c in children(table) if c.get_role_name() == "list"]
    rows = []
    for row in children(lists[0])[:8]:
        rows.append([" ".join(name_of(label) for label in leaves(cell)) for cell in children(row)])
    return rows


def leaves(node):
    inner = children(node)
    if node.get_role_name() == "label":
        return [node]
    return [leaf for child in inner for leaf in leaves(child)]


def shown(value, uncertainty):
    """value and uncertainty by the trade's notation with two digits, as 7790.22034(12)."""
    digits = max(0, 1 - math.floor(math.log10(uncertainty)))
    return f"{value:.{digits}f}({round(uncertainty * 10 ** digits)})"


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        lines = list(csv.DictReader(row for row in file if not row.startswith("#")))
    Atspi.init()
    application = wait_for("the application", find_application)
    named(application, "Open a file")
    check("the empty window names every control", not nameless(application), nameless(application))
    press(application, "nitrous oxide, invented band at 1.3 hPa")
    wait_for("the plot", lambda: any("Spectrum, " in name_of(n) for n, _ in walk(application)))
    check("every stage names every control", not nameless(application), nameless(application))
    press(application, "Lines")
    press(application, "Find and Fit")
    says(application, f"{len(lines)} lines fitted")
    check("lines are found by pressing a named button", True)
    wait_for("rows", lambda: len(rows_of(application)) >= 8)
    wanted = [shown(float(line["position/cm-1"]), float(line["u(position)/cm-1"]))
              for line in lines[:8]]
    got = [row[1] for row in rows_of(application)]
    check("the table reads out what the headless command finds", got == wanted, f"{got} {wanted}")
    plot = next(n for n, _ in walk(application) if name_of(n).startswith("Spectrum, "))
    check("the plot says its span and its lines", f"{len(lines)} lines" in name_of(plot),
          name_of(plot))
    table = wait_for("table", lambda: next(
        (n for n, _ in walk(application) if n.get_role_name() == "tree table"), None))
    rows = next(c for c in children(table) if c.get_role_name() == "list")
    rows.select_child(2)
    position = f"{float(lines[2]['position/cm-1']):.3f}"
    try:
        wait_for("the selection", lambda: position[:-1] in (plot.get_description() or ""))
        check("the plot reads out the line selected in the table", True)
    except TimeoutError:
        check("the plot reads out the line selected in the table", False,
              f"{plot.get_description()!r} has no {position}")
    print(f"1..{count}")


main()
