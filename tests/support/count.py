# SPDX-License-Identifier: GPL-3.0-or-later
"""Counts the tests of meson's testlog.json: the subtests of TAP programs, other programs as one.

Prints the end of the output of every test that failed, the number of skipped ones, and as last
line "N passed, N failed". Exit status 0 only if something passed and nothing failed.
"""
import json
import re
import sys

TAIL = 40
TAP = re.compile(r"^(not )?ok\b[^#]*(#\s*(skip|todo)\b)?", re.IGNORECASE)


def count(test):
    """(passed, failed, skipped) of one program."""
    passed = failed = skipped = 0
    for line in test.get("stdout", "").splitlines():
        match = TAP.match(line)
        if match is None:
            continue
        if (match.group(3) or "").lower() == "skip":
            skipped += 1
        elif match.group(1):
            failed += 1
        else:
            passed += 1
    result = test["result"]
    if result in ("OK", "EXPECTEDFAIL", "SKIP"):
        if passed + failed + skipped == 0:
            return (0, 0, 1) if result == "SKIP" else (1, 0, 0)
        return passed, failed, skipped
    # A program that broke off says nothing of the subtest it broke in.
    return passed, max(failed, 1), skipped


def main(path):
    passed = failed = skipped = 0
    with open(path, encoding="utf-8") as log:
        tests = [json.loads(line) for line in log if line.strip()]
    for test in tests:
        one = count(test)
        passed, failed, skipped = passed + one[0], failed + one[1], skipped + one[2]
        if one[1]:
            said = (test.get("stdout", "") + test.get("stderr", "")).splitlines()
            said = [line for line in said if not line.startswith("ok ")]
            print(f"---- {test['name']}: {test['result']}, the end of what it said:")
            print("\n".join(said[-TAIL:]))
    print(f"{skipped} skipped")
    print(f"{passed} passed, {failed} failed")
    return 0 if passed > 0 and failed == 0 else 1


sys.exit(main(sys.argv[1]))
