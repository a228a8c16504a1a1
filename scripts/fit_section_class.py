#!/usr/bin/env python3
"""Fits TravelOptions::class_u_mm: fit_section_class.py TABLE.csv [MORE.csv ...] [--judge TABLE.csv ...]

The tables are written by `travel_known FOLDER --toe MM --offset MM --tilt DEG` over pushes of `make_field`; DEVELOPERS.md says which.
What a height errs by is taken as a Student-t of three degrees of freedom, its scale the root of squares of class_u_mm and the
posterior's own deviation; each push counts alike, since the lines of one err together. Printed are the scale under which the
errors are likeliest; of kinds told from a chance of 0.9 on, how many are right, pushes left out one by one; and the confusion table
by height or depth. A line with an undercut has its crown there: the dip beside the toe is a number of its own."""
import csv
import math
import os
import sys

CLASS_MM, TOLD, ASTRAY = 0.3, 0.9, 0.05  # TravelOptions::class_mm, told_chance, astray_chance
MOST_TOE_U = 0.5  # TravelOptions::most_toe_u_mm
BANDS = ((0, 0.2), (0.2, 0.4), (0.4, 0.8), (0.8, 1.6), (1.6, 9))
KINDS = ("concave", "flush", "convex")


def height(row):
    """True height of the middle over the chord; less than nothing in a hollow."""
    return -row["true_concavity"] if row["true_concavity"] > row["true_crown"] and row["undercut"] < 0.05 else row["true_crown"]


def pushes(paths):
    read = {}
    for path in paths:
        with open(path) as file:
            rows = [{key: float(value) for key, value in row.items()} for row in csv.DictReader(file)]
        rows = [row for row in rows if math.isfinite(row["middle"]) and math.isfinite(row["convex"]) and row["toe_u"] <= MOST_TOE_U]
        if rows:
            read[os.path.basename(path)] = rows
    return read


def surprise(rows, scale):
    total = 0
    for row in rows:
        s = math.hypot(scale, row["spread"])
        x = (row["middle"] - height(row)) / s
        total += math.log(s) + 2 * math.log1p(x * x / 3)
    return total / len(rows)


def fitted(read):
    scales = [0.02 * 1.05**k for k in range(75)]
    return min(scales, key=lambda s: sum(surprise(rows, s) for rows in read.values()))


def below(x):
    y = x / math.sqrt(3)
    return 0.5 + (y / (1 + y * y) + math.atan(y)) / math.pi


def chances(row, scale):
    s = math.hypot(scale, row["spread"])
    concave, not_convex = below((-CLASS_MM - row["middle"]) / s), below((CLASS_MM - row["middle"]) / s)
    own = {"concave": concave, "flush": not_convex - concave, "convex": 1 - not_convex}
    return {name: (1 - ASTRAY) * chance + ASTRAY / 3 for name, chance in own.items()}


def kind(h):
    return "convex" if h > CLASS_MM else "concave" if h < -CLASS_MM else "flush"


def told(row, scale):
    best = max(chances(row, scale).items(), key=lambda item: item[1])
    return best[0] if best[1] >= TOLD else "nothing"


def table(answers):
    """answers: (true height, told kind)."""
    print("%-22s %8s %8s %8s %8s" % (("true, mm",) + KINDS + ("nothing",)))
    for true in KINDS:
        for band in BANDS:
            row = [a for h, a in answers if kind(h) == true and band[0] <= abs(h) < band[1]]
            if row:
                counts = tuple(row.count(k) for k in KINDS + ("nothing",))
                print("%-8s %.1f to %.1f     " % (true, *band), "%8d %8d %8d %8d" % counts)


def say(name, answers):
    said = [(h, a) for h, a in answers if a != "nothing"]
    right = sum(kind(h) == a for h, a in said)
    turned = sum({kind(h), a} == {"concave", "convex"} for h, a in said)
    if said:
        print("%s: told %d of %d lines, right %.1f %%, convex for concave or the other way %d" %
              (name, len(said), len(answers), 100 * right / len(said), turned))


def main():
    words = sys.argv[1:]
    at = words.index("--judge") if "--judge" in words else len(words)
    fit, judge = pushes(words[:at]), pushes(words[at + 1:])
    if not fit:
        print(__doc__, file=sys.stderr)
        return 2
    scale = fitted(fit)
    print("class_u_mm %.3f from %d pushes, %d lines" % (scale, len(fit), sum(map(len, fit.values()))))
    out = []
    for name in fit:
        rest = {other: rows for other, rows in fit.items() if other != name}
        own = fitted(rest) if rest else scale
        out += [(height(row), told(row, own)) for row in fit[name]]
    say("left out one by one", out)
    table(out)
    if judge:
        answers = [(height(row), told(row, scale)) for rows in judge.values() for row in rows]
        say("judged, %d pushes" % len(judge), answers)
        table(answers)
    return 0


if __name__ == "__main__":
    sys.exit(main())
