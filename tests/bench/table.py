"""Puts the medians of `cargo bench --bench speed` (on standard input) beside those of other ways.

A row: what it is, the bench, what it is compared with, and the seconds of that: another bench, or a function here.
"""

import re
import sys

import profile_numpy

UNITS = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0}

ROWS = [
    ("one year's profile, ten layers", "profile::year", "its saturation pressures alone", "profile::saturation"),
    ("one year's profile, ten layers", "profile::year", "the same in numpy", profile_numpy.seconds_per_year),
    ("read and lower 1,000 joints", "joints::parse_and_lower::1000", "cut the text into words", "joints::words::1000"),
    ("graphs of 1,000 joints, 4 agents", "joints::graph::1000", "a search for each, alone", "joints::searches::1000"),
    ("review 1,000 joints", "joints::review::1000", "as four jobs of 250", "joints::review_in_quarters::1000"),
    ("review 1,000 joints", "joints::review::1000", "review 250 joints", "joints::review::250"),
]


def medians(text):
    """Seconds by bench name, from the tree that the bench prints: `├─ name  fastest │ slowest │ median │ …`."""
    found, path = {}, []
    for line in text.splitlines():
        match = re.match(r"^([│ ]*)[├╰]─ (\w+)(.*)$", line)
        if not match:
            continue
        depth = len(match[1]) // 3
        path = path[:depth] + [match[2]]
        figures = re.findall(r"([\d.]+) (ns|µs|ms|s)\b", match[3])
        if len(figures) >= 3:
            value, unit = figures[2]
            found["::".join(path)] = float(value) * UNITS[unit]
    return found


def main():
    times = medians(sys.stdin.read())
    print(f"{'what':34}{'time':>12}  {'beside':34}{'time':>12}{'ratio':>10}")
    for what, bench, beside, other in ROWS:
        ours = times[bench]
        theirs = times[other] if isinstance(other, str) else other()
        print(f"{what:34}{ours * 1e6:>9.2f} µs  {beside:34}{theirs * 1e6:>9.2f} µs{theirs / ours:>10.2f}")


if __name__ == "__main__":
    main()
