#!/usr/bin/env python3
"""How the heights of a light section go with the sweep, the picture, the bore and the camera's place: one thing changed
at a time on made-up welds, measured and scored from outside.

  scripts/proofs/gauge_sweep.py DIR [--seeds 13,15]     renders into DIR (kept there), writes DIR/sweep.csv

About an hour on two cores. What was run last lies in fixtures/population/result/sweep.csv; `scripts/prove gauge` prints it.
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

BASE = {"reach": "8", "frames": "33", "size": "1280x960"}
SWEPT = (  # what a person can change, the option that makes it, its values
    ("light swept to either side of the weld, mm", "reach", ("3", "5", "8", "13")),
    ("frames over 16 mm of sweep", "frames", ("9", "17", "33", "65")),
    ("picture, px", "size", ("640x480", "960x720", "1280x960", "1920x1440")),
    ("bore radius, mm", "radius", ("26", "51", "77", "110")),
    ("camera off the axis, share of the radius", "aside", ("0.01", "0.05", "0.1", "0.2")),
    ("camera tilted, degrees", "tilt", ("0.5", "3", "6", "10")),
)
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


if __name__ == "__main__":
    if len(sys.argv) not in (2, 4):
        print(__doc__.strip(), file=sys.stderr)
        sys.exit(2)
    with tempfile.TemporaryDirectory() as copies:
        needed = tools.Programs(["rootscroll", "make_scene"], os.path.join(copies, "programs"))
        if needed.trouble:
            sys.exit(needed.trouble)
        sweep(needed, sys.argv[1], (sys.argv[3] if len(sys.argv) == 4 else "13,15").split(","))
