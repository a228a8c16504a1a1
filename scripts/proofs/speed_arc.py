#!/usr/bin/env python3
"""`rootscroll arc` on made-up films of welds being made, against the truth they were rendered by.

By itself: scripts/proofs/speed_arc.py. One film of each kind is made (some six minutes) and kept; the seed was never
used while the room was written. Its issue names no figures: the floors are our own.
"""
import json
import os
import subprocess
import sys

from ledger import RELEASE, ROOT, Ledger

PROGRAM = os.path.join(RELEASE, "app", "cli", "rootscroll")
MAKER = os.path.join(RELEASE, "fixtures", "scene", "make_arc")
FOLDER = os.path.join(ROOT, "build", "arc_films")
KINDS = ("plain", "saturated", "off_axis", "drift", "spatter", "reflections")
SEED = 51


def turned(deg):
    """The same turn in [-180, 180)."""
    return (deg + 180) % 360 - 180


def share(values, quantile):
    """The value that this share of them does not exceed; None of none."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(quantile * len(ordered)))] if ordered else None


def film(kind):
    """Folder of the film, made when it is not there."""
    folder = os.path.join(FOLDER, "%s_%d" % (kind, SEED))
    if not os.path.exists(os.path.join(folder, "truth.json")):
        subprocess.run([MAKER, folder, "--kind", kind, "--seed", str(SEED)], check=True)
    return folder


def read(*parts):
    with open(os.path.join(*parts)) as file:
        return json.load(file)


def matched(told, true):
    """Pairs of a true stop and the one told that meets it in time and kind, or None."""
    return [(t, next((s for s in told if s["from_s"] < t["to_s"] and s["to_s"] > t["from_s"] and
                      (s["arc"] == "on") == t["arc_on"]), None)) for t in true]


def judge(book, kind, said, truth):
    """One film; returns its errors of angle and speed, and what is inside 2u."""
    moments, frames = said["moments"], truth["frames"]
    rows = [(frames[i], *m) for i, *m in zip(moments["frame"], moments["theta_deg"], moments["speed_mm_min"],
                                            moments["speed_u_mm_min"]) if frames[i]["arc_on"]]
    burning = sum(f["arc_on"] for f in frames)
    angle = [abs(turned(theta - f["theta_deg"])) for f, theta, _, _ in rows]
    speed = [(abs(v - f["speed_mm_min"]), u) for f, _, v, u in rows if f["speed_mm_min"]]
    pairs = matched(said["stops"], truth["stops"])
    found = [p for p in pairs if p[1]]
    book.at_least(kind + ": share of burning frames told", round(len(rows) / burning, 3), 0.97)
    book.at_most(kind + ": angle, 95th percentile", round(share(angle, 0.95), 2), 2.0, "deg")
    book.at_most(kind + ": speed of travel, 95th percentile", round(share([e for e, _ in speed], 0.95), 1), 35, "mm/min")
    book.says(kind + ": stops of a second and longer found", len(found) == len(pairs), "%d of %d" % (len(found), len(pairs)),
              "all")
    book.at_most(kind + ": stops that were none", len(said["stops"]) - len({id(s) for _, s in found}), 0)
    if found:
        book.at_most(kind + ": begin of a stop, worst", round(max(abs(s["from_s"] - t["from_s"]) for t, s in found), 2), 0.8,
                     "s")
    off = abs(said["swept_deg"] - truth["swept_deg"])
    book.says(kind + ": swept angle inside 2u", off <= 2 * said["swept_u_deg"],
              "%.2f of %.2f deg" % (off, 2 * said["swept_u_deg"]), "inside")
    return angle, [e <= 2 * said["theta_u_deg"] for e in angle], speed


def prove(book):
    book.heading("Welding seen from inside: made-up films of each kind (seed %d) against their truth; own floors" % SEED)
    angles, inside, speeds = [], [], []
    for kind in KINDS:
        folder = film(kind)
        out = os.path.join(folder, "out")
        done = subprocess.run([PROGRAM, "arc", os.path.join(folder, "joint.json"), "--out", out, "--quiet"],
                              capture_output=True, text=True)
        if done.returncode:
            book.says(kind + ": followed", False, done.stderr.strip()[-120:], "arc.json")
            continue
        angle, within, speed = judge(book, kind, read(out, "arc.json"), read(folder, "truth.json"))
        angles += angle
        inside += within
        speeds += speed
    book.at_most("all: angle, 95th percentile", angles and round(share(angles, 0.95), 2), 2.0, "deg")
    book.at_least("all: angles inside 2u", inside and round(100 * sum(inside) / len(inside), 1), 93, "%")
    book.figure("all: speed of travel, median error", "%.1f mm/min" % share([e for e, _ in speeds], 0.5) if speeds else "none")
    book.at_least("all: speeds inside 2u",
                  speeds and round(100 * sum(e <= 2 * u for e, u in speeds) / len(speeds), 1), 93, "%")


if __name__ == "__main__":
    ledger = Ledger()
    prove(ledger)
    sys.exit(ledger.close())
