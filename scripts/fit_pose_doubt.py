#!/usr/bin/env python3
"""Fits the numbers of vision/pose's doubt: fit_pose_doubt.py FIT.jsonl [MORE.jsonl ...] [--judge JUDGE.jsonl ...]

The tables are written by `pose_population FOLDER --table FILE` over recordings of `make_field`; DEVELOPERS.md says which. Printed are
WeldOdds (conditional logit: which ring is the weld, "none" being one of the answers), DoubtOptions (logistic: is the stand off by more
than 2 degrees or 0.06 R) and the largest chance of being wrong that may be believed when 1 % of the frames may be believed and wrong;
then, for the fit and the judged frames, how many are told, right, believed and wrong, by condition."""
import json
import math
import sys

import numpy as np

RING = ("light", "tint", "texture", "light_jump", "ln_radius", "read")
STAND = ("root_margin", "rings", "ln_read_u")
MOST_MARGIN = 0.5  # DoubtOptions::most_margin
READ_U_DEG = 0.1, 5  # DoubtOptions::least_read_u_deg, most_read_u_deg
BELIEVED_WRONG = 0.01
BARE_SHARE = 0.05  # of the recordings that are given to it; more bare bores are drawn, so that what fools it shows. Chosen, no source
MEASURED_WRONG = 0.3  # DoubtOptions::most_wrong_measured


def read(paths):
    return [json.loads(line) for path in paths for line in open(path)]


def ring(weld, frame):
    return [math.log1p(weld["light"]), math.log1p(weld["tint"]), math.log1p(weld["texture"]), abs(weld["light_jump"]), math.log(frame["radius_mm"]),
            weld["read"]]


def stand(frame):
    u = min(READ_U_DEG[1], max(READ_U_DEG[0], frame["read_tilt_u_deg"]))
    return [math.sqrt(min(MOST_MARGIN, max(0, frame["margin"]))), frame["rings"], math.log(u)]


def off_mm(weld, frame):
    return abs(0.5 * (weld["near_mm"] + weld["far_mm"]) - frame["distance_mm"])


def wrong_stand(frame, times=2):
    return frame["tilt_deg"] > times or frame["offset"] > 0.03 * times


def true_ring(frame):
    """Index of the weld among the rings, -1 where it is none of them, None where that cannot be said."""
    if frame["bare"]:
        return -1
    off = [off_mm(w, frame) / frame["radius_mm"] for w in frame["welds"]]
    near = [i for i, o in enumerate(off) if o < 0.06]
    return near[0] if near else None if any(o < 0.12 for o in off) else -1


def whitened(rows):
    mean, spread = rows.mean(0), rows.std(0) + 1e-9
    return mean, spread, lambda r: np.c_[np.ones(len(r)), (r - mean) / spread]


def raw(weights, mean, spread):
    slopes = weights[1:] / spread
    return np.r_[weights[0] - slopes @ mean, slopes]


def fit_rings(frames, ridge=0.3):
    usable = [(np.array([ring(w, f) for w in f["welds"]]), true_ring(f)) for f in frames
              if f["welds"] and true_ring(f) is not None and (f["bare"] or (f["tilt_deg"] <= 4 and f["offset"] <= 0.12))]
    mean, spread, white = whitened(np.concatenate([r for r, _ in usable]))
    weights = np.zeros(len(RING) + 1)
    hold = ridge * np.r_[0, np.ones(len(RING))]
    for step in range(60):
        slope, bend = -hold * weights, np.diag(hold + 1e-6)
        for rows, true in usable:
            z = white(rows)
            p = np.exp(z @ weights)
            p /= 1 + p.sum()
            slope += z.T @ ((np.arange(len(p)) == true) - p)
            bend += (z * p[:, None]).T @ z - np.outer(z.T @ p, z.T @ p)
        weights += (0.5 if step < 10 else 1) * np.linalg.solve(bend, slope)
    return raw(weights, mean, spread)


def fit_stand(frames, ridge=0.5):
    frames = [f for f in frames if not f["bare"]]
    rows, wrong = np.array([stand(f) for f in frames]), np.array([float(wrong_stand(f)) for f in frames])
    mean, spread, white = whitened(rows)
    z, weights = white(rows), np.zeros(len(STAND) + 1)
    hold = ridge * np.r_[0, np.ones(len(STAND))]
    for _ in range(40):
        p = 1 / (1 + np.exp(-z @ weights))
        weights -= np.linalg.solve((z * (p * (1 - p))[:, None]).T @ z + np.diag(hold + 1e-6), z.T @ (p - wrong) + hold * weights)
    return raw(weights, mean, spread)


def answer(frame, rings, stands):
    """Chance that the stand is wrong, that the ring told is no weld (1: none is told); whether each is so, and whether both are right."""
    lean = 1 / (1 + math.exp(-(stands[0] + stands[1:] @ np.array(stand(frame)))))
    if not frame["welds"]:
        return lean, 1, wrong_stand(frame), False, False
    odds = np.array([rings[0] + rings[1:] @ ring(w, frame) for w in frame["welds"]])
    chance = np.exp(odds) / (1 + np.exp(odds).sum())
    best = int(np.argmax(odds))
    off = off_mm(frame["welds"][best], frame) / frame["radius_mm"]
    right = not frame["bare"] and not wrong_stand(frame, 1) and off <= 0.03
    return lean, 1 - chance[best] if odds[best] >= 0 else 1, wrong_stand(frame), frame["bare"] or off > 0.06, right


def most_believed(chances):
    """The largest chance of being wrong at which BELIEVED_WRONG of all frames are believed and wrong. Rows: chance, wrong, bare."""
    bare = sum(c[2] for c in chances)
    counts = {False: 1, True: BARE_SHARE / (1 - BARE_SHARE) * (len(chances) - bare) / max(1, bare)}
    most, wrong, frames = 0.0, 0.0, sum(counts[c[2]] for c in chances)
    for chance, is_wrong, is_bare in sorted(chances):
        wrong += is_wrong * counts[is_bare]
        if wrong > BELIEVED_WRONG * frames:
            break
        most = chance
    return most


def report(title, frames, rings, stands, most, most_weld):
    for name in ["all"] + sorted({c for f in frames for c in f["conditions"]}):
        some = [answer(f, rings, stands) for f in frames if name == "all" or name in f["conditions"]]
        weld = [a for a in some if a[1] <= most_weld]
        axis = [a for a in weld if a[0] <= most]
        print("%-6s %-18s %4d frames: weld believed %4d, wrong %3d; axis told too %4d, right %4d, stand wrong %3d" % (
            title, name, len(some), len(weld), sum(a[3] for a in weld), len(axis), sum(a[4] for a in axis), sum(a[2] for a in axis)))


def main():
    words = sys.argv[1:]
    at = words.index("--judge") if "--judge" in words else len(words)
    frames, judged = read(words[:at]), read(words[at + 1:])
    rings, stands = fit_rings(frames), fit_stand(frames)
    said = [answer(f, rings, stands) for f in frames]
    most = most_believed([(a[0], a[2], False) for a, f in zip(said, frames) if not f["bare"]])
    most_weld = most_believed([(a[1], a[3] and a[1] < 1, f["bare"]) for a, f in zip(said, frames)])
    print("WeldOdds      base %.3f" % rings[0], *("%s %.3f" % x for x in zip(RING, rings[1:])))
    print("DoubtOptions  base %.3f" % stands[0], *("%s %.3f" % x for x in zip(STAND, stands[1:])), "most_wrong %.3f most_wrong_weld %.3f" % (most, most_weld))
    near = [not wrong_stand(f, 4) for a, f in zip(said, frames) if not f["bare"] and a[0] <= MEASURED_WRONG and a[1] <= most_weld]
    print("measured up to %.2f: %d frames, %.1f %% of them within 4 degrees and 0.12 R" % (MEASURED_WRONG, len(near), 100 * np.mean(near)))
    report("fit", frames, rings, stands, most, most_weld)
    if judged:
        report("judged", judged, rings, stands, most, most_weld)


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    main()
