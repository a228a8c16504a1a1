#!/usr/bin/env python3
"""What the fitted reader says of recordings with known truth, at their true poses or at disturbed ones.

  evidence_known.py BUILD_DIR FOLDER [--disturbed] [--pickle FILE] [--every N] [--picture FILE.png] [--only TEXT]

FOLDER holds folders with joint.json, truth.json and frames (`../shared/field`, `../shared/scenes`, make_field's). Errors are against
where the true toe appears on the strip, so that misalignment and pose play no part. A run is an arc of 3 mm and more whose edge is
not fused; it is in sight where half of its near-side lines are, found where half of these are called unfused.
"""
import argparse
import collections
import json
import os
import subprocess
import sys

import numpy as np

HERE = os.path.dirname(os.path.abspath(__file__))


def folders(root, only):
    for base, _, files in sorted(os.walk(root)):
        if "truth.json" in files and "joint.json" in files and only in base and "_light_" not in base:  # a plane of light has its own look
            yield base


def arcs(flags):
    """Runs of true round the circle: (first, length)."""
    n = len(flags)
    if flags.all():
        return [(0, n)]
    if not flags.any():
        return []
    start = int(np.argmin(flags))
    turned = np.diff(np.r_[0, np.roll(flags, -start).astype(int), 0])
    return [((a + start) % n, b - a) for a, b in zip(np.where(turned == 1)[0], np.where(turned == -1)[0])]


def lines_of(arc, grow=0):
    return (arc[0] - grow + np.arange(arc[1] + 2 * grow)) % 720


def called(row, trust, mm_per_line, shortest_mm=1.5):
    """Runs called unfused and lines called fused of one frame, by its levels."""
    sight = (row["hidden"][0] < trust["stated_below_hidden"]["near"]) & (row["covered"] < trust["map_above"]["covered"])
    unfused = sight & (row["unfused"] > trust["unfused_above"])
    for arc in arcs(unfused):
        if arc[1] * mm_per_line < shortest_mm:
            unfused[lines_of(arc)] = False
    return sight, unfused, sight & (row["unfused"] < trust["fused_below"])


def load(program, root, disturbed):
    truth = json.load(open(os.path.join(root, "truth.json")))
    out = subprocess.run([program, root] + (["--disturbed", str(abs(hash(os.path.basename(root))) % 1000)] if disturbed else []), capture_output=True, text=True)
    rows = []
    for line in out.stdout.splitlines():
        f = json.loads(line)
        t, p = f["truth"], truth["profile"]
        state = np.array(p["state"])
        row = {"root": root, "frame": f["frame"], "R": truth["R"], "seconds": f["seconds"], "unfused": np.array(f["unfused"]), "hollow": np.array(f["hollow"]), "covered": np.array(f["covered"])}
        row["with"] = truth.get("spec", {}).get("conditions", {}).get("with") or ["plain"]
        row["recording"] = truth.get("spec", {}).get("conditions", {}).get("recording", "")
        for key, k in (("z", "z"), ("u", "u"), ("hidden", "hidden")):
            row[key] = np.array([f["near"][k], f["far"][k]], float)
        row["true_z"] = np.array([t["near_z"], t["far_z"]])
        row["sight"] = np.array([t["near_sight"], t["far_sight"]], bool)
        row["is"] = np.array([np.isin(state, ["unfused_" + t[k], "unfused_both"]) for k in ("near_side", "far_side")])
        row["usable"] = ~(np.array(p["transition"], bool) | np.array(p.get("blended", [False] * 720), bool))
        row["behind"] = np.array(t.get("near_behind", [False] * 720), bool)
        rows.append(row)
    if not rows:
        print("nothing read:", root, out.stderr[:200], file=sys.stderr)
    return rows


def percent(e, q):
    return np.percentile(e, q) if len(e) else float("nan")


def toe_numbers(rows, trust, side):
    """Errors and u of what is stated in sight, counts of lines stated in and out of sight, share inside 2u by frame."""
    name = ("near", "far")[side]
    e, u, told, sight, blind_told, blind, per = [], [], 0, 0, 0, 0, []
    for r in rows:
        ok = r["usable"] & (np.abs(r["true_z"][side]) < 12.3)
        say = (r["hidden"][side] < trust["stated_below_hidden"][name])
        m = ok & r["sight"][side]
        sight += m.sum(); told += (m & say).sum()
        b = r["usable"] & ~r["sight"][side]
        blind += b.sum(); blind_told += (b & say).sum()
        err = np.abs(r["z"][side] - r["true_z"][side])[m & say]
        e.append(err); u.append(r["u"][side][m & say])
        if len(err) > 50:
            per.append(np.mean(err < 2 * u[-1]))
    return np.concatenate(e), np.concatenate(u), told, sight, blind_told, blind, np.array(per)


def toe_line(rows, trust, side):
    name = ("near", "far")[side]
    e, u, told, sight, blind_told, blind, per = toe_numbers(rows, trust, side)
    return "%s p50 %.2f p95 %.2f  inside 2u %.1f%% (frames below 75%%: %.0f%%, worst %.0f%%)  u median %.2f  told %.0f%%  told out of sight %.1f%%" % (
        name, percent(e, 50), percent(e, 95), 100 * np.mean(e < 2 * u), 100 * np.mean(per < 0.75) if len(per) else 0, 100 * per.min() if len(per) else 0, percent(u, 50), 100 * told / max(1, sight), 100 * blind_told / max(1, blind))


def run_counts(rows, trust):
    n = collections.Counter()
    for r in rows:
        mm = np.pi * r["R"] / 360
        sight, unfused, fused = called(r, trust, mm)
        true = r["is"][0]
        for arc in arcs(true):
            if arc[1] * mm < 3 or r["sight"][0][lines_of(arc)].mean() < 0.5:
                continue
            inside = lines_of(arc)
            inside = inside[r["sight"][0][inside]]
            n["in sight"] += 1
            found = unfused[inside].mean() >= 0.5
            n["found"] += found
            n["called fused"] += (not found) and fused[inside].mean() > 0.5
        around = np.zeros(720, bool)
        for arc in arcs(true):
            around[lines_of(arc, int(np.ceil(2 / mm)))] = True
        for arc in arcs(unfused):
            if not around[lines_of(arc)].any():
                n["false"] += 1
                n["false degrees"] += arc[1] / 2
        good = r["usable"] & r["sight"][0]
        n["lines"] += good.sum()
        n["stated"] += (good & (unfused | fused)).sum()
        n["right"] += (good & ((unfused & true) | (fused & ~true))).sum()
        n["behind"] += r["behind"].sum()
        n["behind found"] += (r["behind"] & ((r["covered"] > trust["map_above"]["covered"]) | ~sight)).sum()
        clear = good & ~r["behind"]
        n["clear"] += clear.sum()
        n["clear called covered"] += (clear & (r["covered"] > trust["map_above"]["covered"])).sum()
    return n


def run_line(rows, trust):
    n = run_counts(rows, trust)
    return "runs %d/%d called fused %d false %d (%.2f deg a frame) | stated %.0f%% right %.2f%% | behind things found %.0f%% of %d, clear called covered %.1f%%" % (
        n["found"], n["in sight"], n["called fused"], n["false"], n["false degrees"] / max(1, len(rows)), 100 * n["stated"] / max(1, n["lines"]), 100 * n["right"] / max(1, n["stated"]),
        100 * n["behind found"] / max(1, n["behind"]), n["behind"], 100 * n["clear called covered"] / max(1, n["clear"]))


def width_line(rows, trust):
    e, u = [], []
    for r in rows:
        say = (r["hidden"][0] < trust["stated_below_hidden"]["near"]) & (r["hidden"][1] < trust["stated_below_hidden"]["far"]) & r["sight"].all(0) & r["usable"] & (np.abs(r["true_z"]) < 12.3).all(0)
        e.append(np.abs(np.abs(r["z"][1] - r["z"][0]) - np.abs(r["true_z"][1] - r["true_z"][0]))[say])
        u.append(np.hypot(r["u"][0], r["u"][1])[say])
    e, u = np.concatenate(e), np.concatenate(u)
    return "width on the strip p50 %.2f p95 %.2f inside 2u %.1f%%" % (percent(e, 50), percent(e, 95), 100 * np.mean(e < 2 * u))


def picture(rows, trust, path):
    import cv2
    im = np.full((560, 1120, 3), 255, np.uint8)

    def axes(x0, title):
        cv2.rectangle(im, (x0, 40), (x0 + 480, 520), (0, 0, 0), 1)
        cv2.line(im, (x0, 520), (x0 + 480, 40), (180, 180, 180), 1)
        cv2.putText(im, title, (x0, 25), 0, 0.45, (0, 0, 0), 1)
    axes(50, "near edge unfused: said (x) against true (y), dots by count")
    p = np.concatenate([r["unfused"][r["usable"] & r["sight"][0] & (r["hidden"][0] < 0.5)] for r in rows])
    t = np.concatenate([r["is"][0][r["usable"] & r["sight"][0] & (r["hidden"][0] < 0.5)] for r in rows])
    for k in range(20):
        m = (p >= k / 20) & (p < (k + 1) / 20 + (k == 19))
        if m.sum() > 20:
            cv2.circle(im, (int(50 + 480 * p[m].mean()), int(520 - 480 * t[m].mean())), int(2 + np.log10(m.sum()) * 2), (200, 0, 0), -1)
    axes(600, "toes: share of errors inside k u (y) against a normal's (x): near green, far orange")
    from math import erf, sqrt
    for side, colour in ((0, (0, 150, 0)), (1, (0, 120, 255))):
        ratio = np.concatenate([(np.abs(r["z"][side] - r["true_z"][side]) / r["u"][side])[r["usable"] & r["sight"][side] & (np.abs(r["true_z"][side]) < 12.3) & (r["hidden"][side] < trust["stated_below_hidden"][("near", "far")[side]])] for r in rows])
        for k in np.arange(0.1, 3.2, 0.1):
            cv2.circle(im, (int(600 + 480 * erf(k / sqrt(2))), int(520 - 480 * np.mean(ratio < k))), 3, colour, -1)
    cv2.imwrite(path, im)


def main():
    p = argparse.ArgumentParser()
    p.add_argument("build"), p.add_argument("folder"), p.add_argument("--disturbed", action="store_true")
    p.add_argument("--picture"), p.add_argument("--only", default=""), p.add_argument("--pickle"), p.add_argument("--every", type=int, default=1)
    a = p.parse_args()
    trust = json.load(open(os.path.join(HERE, "../../vision/evidence/model/strip_reader.json")))
    program = os.path.join(a.build, "fixtures/training/read_known") if os.path.isdir(a.build) else a.build
    rows = [r for root in list(folders(a.folder, a.only))[::a.every] for r in load(program, root, a.disturbed)]
    if a.pickle:
        import pickle
        pickle.dump(rows, open(a.pickle, "wb"))
    report(rows, trust)
    if a.picture:
        picture(rows, trust, a.picture)


def report(rows, trust):
    groups = collections.OrderedDict(all=rows)
    for name in sorted({w for r in rows for w in r["with"]}):
        groups[name] = [r for r in rows if name in r["with"]]
    groups["not coarse"] = [r for r in rows if "coarse" not in r["with"] and "coarse picture" not in r["with"]]
    for name, some in groups.items():
        if some:
            print("== %s, %d frames, %.2f s a strip" % (name, len(some), np.median([r["seconds"] for r in some])))
            for line in (toe_line(some, trust, 0), toe_line(some, trust, 1), width_line(some, trust), run_line(some, trust)):
                print("   ", line)


if __name__ == "__main__":
    main()
