#!/usr/bin/env python3
"""How a light section's heights, and a push's width and misalignment, go with travel, picture, bore and the camera's
place: one thing changed at a time on made-up welds, measured and scored from outside.

  scripts/proofs/gauge_sweep.py DIR [light|push] [SEEDS]    renders into DIR (kept there), writes DIR/light.csv or
                                                            DIR/push.csv; SEEDS as 13,15
About half an hour a seed on two cores. What was run last lies in fixtures/population/result (sweep_light.csv and
sweep_push.csv); `scripts/prove gauge` prints it.
"""
import csv
import json
import math
import os
import statistics
import sys
import tempfile

import ledger as tools
from main_proof import score

RESULT = os.path.join(tools.ROOT, "fixtures", "population", "result")


class Table:
    """What is swept: the first row as it stands, then what a person can change, the option that makes it, its values."""

    def __init__(self, name, kind, base, swept, fields):
        self.name, self.kind, self.base, self.swept = name, kind, base, swept
        self.fields = ("swept", "value", "seed") + fields
        self.kept = os.path.join(RESULT, "sweep_%s.csv" % name)


LIGHT = Table(
    "light", "light_section", {"reach": "8", "frames": "21", "size": "1280x960"},
    (("as it stands: 8 mm, 21 frames, 1280x960, bore radius 51 or 77 mm, nearly centred", "reach", ("8",)),
     ("light swept to either side of the weld, mm", "reach", ("3", "5", "13")),
     ("frames over 16 mm of sweep", "frames", ("9", "41")),
     ("picture, px", "size", ("640x480", "960x720", "1920x1440")),
     ("bore radius, mm", "radius", ("26", "110")),
     ("camera off the axis, share of the radius", "aside", ("0.05", "0.1", "0.2")),
     ("camera tilted, degrees", "tilt", ("3", "6", "10"))),
    ("crown_stated_%", "crown_p50", "crown_p95", "crown_inside_2u_%", "crown_U_median", "hilo_p95", "hilo_U_median"))
PUSH = Table(
    "push", "misaligned", {"travel": "50", "frames": "8", "size": "1280x960", "radius": "51"},
    (("as it stands: 50 mm, 8 frames, 1280x960, bore radius 51 mm, nearly centred", "travel", ("50",)),
     ("travel, mm", "travel", ("15", "25", "90")),
     ("frames over 50 mm", "frames", ("4", "16")),
     ("picture, px", "size", ("640x480", "960x720", "1920x1440")),
     ("bore radius, mm", "radius", ("26", "77", "110")),
     ("camera off the axis, share of the radius", "aside", ("0.1", "0.2", "0.4")),
     ("camera tilted, degrees", "tilt", ("5", "10", "20"))),
    ("width_stated_%", "width_p50", "width_p95", "width_inside_2u_%", "width_U_median", "near_toe_p95", "hilo_stated_%",
     "hilo_p95", "hilo_U_median"))


def median_expanded(values):
    known = [v for v in values if v is not None and math.isfinite(v)]
    return round(2 * statistics.median(known), 3) if known else None


def render(programs, folder, table, option, value, seed):
    if os.path.exists(os.path.join(folder, "truth.json")):
        return ""
    chosen = dict(table.base, **{option: value})
    words = [programs.path("make_scene"), folder, "--kind", table.kind, "--seed", seed]
    for name, given in chosen.items():
        words += ["--" + name, given]
    code, said, _ = tools.run(words)
    return "" if code == 0 else said[-300:]


def row_of(scored, keep, what, value, seed):
    path = os.path.join(keep, scored["name"], "reading.json")
    profile = json.load(open(path))["profile"] if os.path.exists(path) else {}
    row = {"swept": what, "value": value, "seed": seed, "near_toe_p95": scored["left_toe"].get("p95")}
    for key, u in (("crown", "crown_height_u_mm"), ("width", "width_u_mm"), ("hilo", "misalignment_u_mm")):
        for figure in ("stated_%", "p50", "p95", "inside_2u_%"):
            row["%s_%s" % (key, figure)] = scored[key].get(figure)
        row[key + "_U_median"] = median_expanded(profile.get(u, []))
    return row


def sweep(programs, out, table, seeds):
    rows = []
    for what, option, values in table.swept:
        for value in values:
            for seed in seeds:
                name = "%s_%s_%s_seed%s" % (table.name, option, value, seed)
                trouble = render(programs, os.path.join(out, "scenes", name), table, option, value, seed)
                keep = os.path.join(out, "measured", name)
                scored, said = score(programs, os.path.join(out, "scenes"), name, keep) if not trouble else ([], trouble)
                scored = [one for one in scored if one["name"] == name]
                if len(scored) != 1:
                    print(name, "gave no score:", said or trouble)
                    continue
                rows.append(row_of(scored[0], keep, what, value, seed))
                print({key: rows[-1][key] for key in table.fields[1:]}, flush=True)
                with open(os.path.join(out, table.name + ".csv"), "w", newline="") as file:
                    writer = csv.DictWriter(file, table.fields, extrasaction="ignore")
                    writer.writeheader()
                    writer.writerows(rows)
    return rows


def kept(table):
    with open(table.kept, newline="") as file:
        return list(csv.DictReader(file))


def stated(rows, key):
    return [r for r in rows if r[key] not in ("", "[]")]


def prove_sweep(book):
    """Prints the tables that are kept; they are not rendered again here."""
    book.heading("Heights by light section against sweep, picture, bore and place (kept table, %s)"
                 % os.path.relpath(LIGHT.kept, tools.ROOT))
    rows = kept(LIGHT)
    for r in rows:
        book.figure("%s: %s (seed %s)" % (r["swept"][:44], r["value"], r["seed"]),
                    "crown %s on %s %%, U %s" % (r["crown_p95"].strip("[]") or "not stated", r["crown_stated_%"], r["crown_U_median"] or "-"))
    book.at_least("rows", len(rows), 16)
    book.at_least("worst share of crown errors inside 2u where stated (own floor)",
                  min(float(r["crown_inside_2u_%"]) for r in stated(rows, "crown_p95")), 93, "%")
    book.heading("Width and misalignment of a push against travel, picture, bore and place (kept table, %s)"
                 % os.path.relpath(PUSH.kept, tools.ROOT))
    rows = kept(PUSH)
    for r in rows:
        book.figure("%s: %s (seed %s)" % (r["swept"][:44], r["value"], r["seed"]),
                    "width %s on %s %%, U %s; misalignment %s" % (r["width_p95"].strip("[]") or "not stated", r["width_stated_%"],
                                                                  r["width_U_median"] or "-", r["hilo_p95"].strip("[]") or "not stated"))
    book.at_least("rows", len(rows), 16)
    book.at_least("worst share of width errors inside 2u where stated (own floor)",
                  min(float(r["width_inside_2u_%"]) for r in stated(rows, "width_p95")), 90, "%")


if __name__ == "__main__":
    tables = {table.name: table for table in (LIGHT, PUSH)}
    if len(sys.argv) not in (2, 3, 4) or (len(sys.argv) > 2 and sys.argv[2] not in tables):
        print(__doc__.strip(), file=sys.stderr)
        sys.exit(2)
    with tempfile.TemporaryDirectory() as copies:
        needed = tools.Programs(["rootscroll", "make_scene"], os.path.join(copies, "programs"))
        if needed.trouble:
            sys.exit(needed.trouble)
        sweep(needed, sys.argv[1], tables[sys.argv[2]] if len(sys.argv) > 2 else LIGHT,
              (sys.argv[3] if len(sys.argv) == 4 else "13,15").split(","))
