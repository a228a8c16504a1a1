#!/usr/bin/env python3
"""How the heights of a light section go with the sweep, the picture, the bore and the camera's place: one thing changed
at a time on made-up welds, measured and scored from outside.

  scripts/proofs/gauge_sweep.py DIR [--seeds 13,15]     renders into DIR (kept there), writes DIR/sweep.csv

About half an hour a seed on two cores. What was run last lies in fixtures/population/result/sweep.csv; `scripts/prove gauge` prints it.
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

BASE = {"reach": "8", "frames": "21", "size": "1280x960"}
SWEPT = (  # what a person can change, the option that makes it, its values beside the first row's
    ("as it stands: 8 mm, 21 frames, 1280x960, bore radius 51 or 77 mm, nearly centred", "reach", ("8",)),
    ("light swept to either side of the weld, mm", "reach", ("3", "5", "13")),
    ("frames over 16 mm of sweep", "frames", ("9", "41")),
    ("picture, px", "size", ("640x480", "960x720", "1920x1440")),
    ("bore radius, mm", "radius", ("26", "110")),
    ("camera off the axis, share of the radius", "aside", ("0.05", "0.1", "0.2")),
    ("camera tilted, degrees", "tilt", ("3", "6", "10")),
)
KEPT = os.path.join(tools.ROOT, "fixtures", "population", "result", "sweep.csv")
FIELDS = ("swept", "value", "seed", "crown_stated_%", "crown_p50", "crown_p95", "crown_inside_2u_%", "U_median",
          "hilo_p95", "hilo_U_median")


def median_expanded(values):
    known = [v for v in values if v is not None and math.isfinite(v)]
    return round(2 * statistics.median(known), 3) if known else None


def render(programs, folder, option, value, seed):
    if os.path.exists(os.path.join(folder, "truth.json")):
        return ""
    chosen = dict(BASE, **{option: value})
    words = [programs.path("make_scene"), folder, "--kind", "light_section", "--seed", seed]
    for name, given in chosen.items():
        words += ["--" + name, given]
    code, said, _ = tools.run(words)
    return "" if code == 0 else said[-300:]


def row_of(scored, keep, what, value, seed):
    path = os.path.join(keep, scored["name"], "reading.json")
    profile = json.load(open(path))["profile"] if os.path.exists(path) else {}
    crown, hilo = scored["crown"], scored["hilo"]
    return {"swept": what, "value": value, "seed": seed, "crown_stated_%": crown.get("stated_%"),
            "crown_p50": crown.get("p50"), "crown_p95": crown.get("p95"),
            "crown_inside_2u_%": crown.get("inside_2u_%"),
            "U_median": median_expanded(profile.get("crown_height_u_mm", [])), "hilo_p95": hilo.get("p95"),
            "hilo_U_median": median_expanded(profile.get("misalignment_u_mm", []))}


def sweep(programs, out, seeds):
    rows = []
    for what, option, values in SWEPT:
        for value in values:
            for seed in seeds:
                name = "%s_%s_seed%s" % (option, value, seed)
                trouble = render(programs, os.path.join(out, "scenes", name), option, value, seed)
                keep = os.path.join(out, "measured", name)
                scored, said = score(programs, os.path.join(out, "scenes"), name, keep) if not trouble else ([], trouble)
                if len(scored) != 1:
                    print(name, "gave no score:", said or trouble)
                    continue
                rows.append(row_of(scored[0], keep, what, value, seed))
                print(rows[-1], flush=True)
                with open(os.path.join(out, "sweep.csv"), "w", newline="") as file:
                    writer = csv.DictWriter(file, FIELDS)
                    writer.writeheader()
                    writer.writerows(rows)
    return rows


def prove_sweep(book):
    """Prints the table that is kept; it is not rendered again here."""
    book.heading("Heights by light section against sweep, picture, bore and place (kept table, %s)" % os.path.relpath(KEPT, tools.ROOT))
    with open(KEPT, newline="") as file:
        rows = list(csv.DictReader(file))
    stated = [r for r in rows if r["crown_p95"] not in ("", "[]")]
    for r in rows:
        book.figure("%s: %s (seed %s)" % (r["swept"][:44], r["value"], r["seed"]),
                    "crown %s on %s %%, U %s" % (r["crown_p95"].strip("[]") or "not stated", r["crown_stated_%"], r["U_median"] or "-"))
    book.at_least("rows", len(rows), 16)
    book.at_least("worst share of crown errors inside 2u where stated (own floor)",
                  min(float(r["crown_inside_2u_%"]) for r in stated), 93, "%")


if __name__ == "__main__":
    if len(sys.argv) not in (2, 4):
        print(__doc__.strip(), file=sys.stderr)
        sys.exit(2)
    with tempfile.TemporaryDirectory() as copies:
        needed = tools.Programs(["rootscroll", "make_scene"], os.path.join(copies, "programs"))
        if needed.trouble:
            sys.exit(needed.trouble)
        sweep(needed, sys.argv[1], (sys.argv[3] if len(sys.argv) == 4 else "13,15").split(","))
