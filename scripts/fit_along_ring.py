#!/usr/bin/env python3
"""How far a toe's neighbours along the ring, and an unfused line's, are to be believed; prints the tables that AlongRingOptions and
Trust::unfused_goes_on_above were chosen by.

  fit_along_ring.py WEIGHTS.npz [WEIGHTS.npz ...] --samples FOLDER [--most N]

On the held-out scenes of FOLDER (make_samples), every second one in a strange look. A toe counts as told where its u is at most 0.6 mm;
"rings" are those with less than three quarters of their told lines inside 2u.
"""
import argparse
import os
import sys

import numpy as np
import torch

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from evidence.calibrate import EDGE_HIDDEN, FAR_STATED_BELOW, FLOOR_MM  # noqa: E402
from evidence.goals import BINS, from_ring, places, surer_of, told, truth  # noqa: E402
from evidence.looks import make_strange  # noqa: E402
from evidence.net import Reader  # noqa: E402
from evidence.runs import false_runs, found_runs, grown  # noqa: E402
from evidence.samples import RECORD, Samples, network_input  # noqa: E402

LARGEST_U_MM, NEAR_HIDDEN, FAR_HIDDEN = 0.6, 0.25, FAR_STATED_BELOW


def read(nets, samples, which):
    """Log chances of both toes as torch has them, the rest as arrays; a ring a sample."""
    random = torch.Generator()
    random.manual_seed(7)
    rows = []
    with torch.no_grad():
        for n, i in enumerate(which):
            b = samples.batch([i])
            if n % 2:
                b = make_strange(b, random)
            s, t = told(nets, network_input(b)), truth(b)
            rows.append({"toes": s["toes"], "z": b["z"], "unfused": s["unfused"], "radius_mm": samples.store["camera"][i][:1],
                         "sight": t["sight"], "usable": t["usable"], "is_unfused": t["unfused"], "plain": t["plain"]})
    r = {k: torch.cat([row[k] for row in rows]) for k in rows[0]}
    return {k: v if k == "toes" else v.numpy() for k, v in r.items()}


def toes_line(name, r, options):
    out = ["%-22s" % name]
    mean, spread, hidden = places(r["toes"])
    if options:
        mean, spread = surer_of((mean, spread), places(from_ring(r["toes"], **options))[:2])
    errors, us, hidden = np.abs(mean.numpy() - r["z"]), np.hypot(spread.numpy(), FLOOR_MM), hidden.numpy()
    for side, level in ((0, NEAR_HIDDEN), (1, FAR_HIDDEN)):
        error, u, there, usable = errors[:, side], us[:, side], r["sight"][:, side], r["usable"][:, side]
        stated = (hidden[:, side] < level) & (u < LARGEST_U_MM) & usable
        good, inside = stated & there, error < 2 * u
        rings = np.mean([inside[k][good[k]].mean() < 0.75 for k in range(len(good)) if good[k].sum() > 30])
        out.append("%s told %.1f %% p50 %.3f p95 %.3f inside %.1f %% u %.3f rings %.1f %% out of sight %.1f %%" % (
            ("near", "far")[side], 100 * good.sum() / (there & usable).sum(), np.median(error[good]), np.percentile(error[good], 95),
            100 * inside[good].mean(), np.median(u[good]), 100 * rings, 100 * (stated & ~there).sum() / max(1, (~there & usable).sum())))
    print(" | ".join(out), flush=True)


def runs_line(name, r, above, goes_on):
    looked = r["sight"][:, 0] & r["plain"] & (r["toes"][:, 0, BINS].exp().numpy() < EDGE_HIDDEN)
    called = np.array([grown(np.where(looked[k], r["unfused"][k], 0), r["radius_mm"][k], above, goes_on) for k in range(len(looked))])
    each = [found_runs(called[k], r["is_unfused"][k] & looked[k], r["radius_mm"][k]) for k in range(len(looked))]
    false = [false_runs(called[k], r["is_unfused"][k], r["radius_mm"][k]) for k in range(len(looked))]
    print("%-22s found %d of %d, false %.3f a ring, %.2f degrees a ring" % (name, sum(f for f, _ in each), sum(n for _, n in each), np.mean([n for n, _ in false]), np.mean([deg for _, deg in false])), flush=True)


def main():
    p = argparse.ArgumentParser()
    p.add_argument("weights", nargs="+")
    p.add_argument("--samples", required=True)
    p.add_argument("--most", type=int, default=400)
    a = p.parse_args()
    nets = [Reader.kept_in(path).eval() for path in a.weights]
    there = sum(os.path.getsize(os.path.join(a.samples, f)) for f in os.listdir(a.samples) if f.endswith(".bin")) // RECORD.itemsize
    samples = Samples(a.samples, "cpu", there, held_only=True)
    samples.take_in(10**9)
    r = read(nets, samples, samples.held[::max(1, len(samples.held) // a.most)][:a.most])
    toes_line("each line alone", r, None)
    for wander in (0.1, 0.15, 0.2, 0.3):
        for weight in (0.05, 0.1, 0.2):
            toes_line("%.2f mm, %.2f" % (wander, weight), r, {"wander_mm": wander, "weight": weight})
    for above in (0.65, 0.8, 0.9):
        for goes_on in (above, 0.5, 0.3, 0.2, 0.1):
            runs_line("above %.2f, on to %.2f" % (above, goes_on), r, above, goes_on)


if __name__ == "__main__":
    main()
