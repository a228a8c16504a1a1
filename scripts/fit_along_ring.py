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
from evidence.along_ring import along_ring  # noqa: E402
from evidence.calibrate import FLOOR_MM  # noqa: E402
from evidence.goals import BINS, BIN_MM, FIRST_MM, told, truth  # noqa: E402
from evidence.looks import make_strange  # noqa: E402
from evidence.net import Reader  # noqa: E402
from evidence.runs import false_runs, found_runs, grown  # noqa: E402
from evidence.samples import RECORD, Samples, network_input  # noqa: E402

LARGEST_U_MM, NEAR_HIDDEN, FAR_HIDDEN = 0.6, 0.25, 0.5


def read(nets, samples, which):
    random = torch.Generator()
    random.manual_seed(7)
    rows = []
    with torch.no_grad():
        for n, i in enumerate(which):
            b = samples.batch([i])
            if n % 2:
                b = make_strange(b, random)
            s, t = told(nets, network_input(b)), truth(b)
            rows.append({"toes": s["toes"][0].exp().numpy(), "z": b["z"][0].numpy(), "unfused": s["unfused"][0].numpy(),
                         "radius_mm": samples.store["camera"][i][0].numpy(), **{k: t[k if k != "is_unfused" else "unfused"][0].numpy() for k in ("sight", "usable", "is_unfused", "plain")}})
    return {k: np.array([r[k] for r in rows]) for k in rows[0]}


def places(chance):
    z = FIRST_MM + BIN_MM * np.arange(BINS)
    close = chance * (np.abs(z - z[chance.argmax(-1)][..., None]) < 1.01)
    mean = (close * z).sum(-1) / close.sum(-1)
    return mean, np.hypot(np.sqrt((chance * (z - mean[..., None]) ** 2).sum(-1)), FLOOR_MM)


def toes_line(name, r, options):
    out = ["%-22s" % name]
    for side, level in ((0, NEAR_HIDDEN), (1, FAR_HIDDEN)):
        chance, hidden = r["toes"][:, side, :BINS].transpose(0, 2, 1), r["toes"][:, side, BINS]
        chance = chance / chance.sum(-1, keepdims=True)
        mean, u = places(chance)
        if options:
            ring_mean, ring_u = places(along_ring(chance, hidden, BIN_MM, **options))
            mean, u = np.where(ring_u < u, ring_mean, mean), np.minimum(u, ring_u)
        stated, there = (hidden < level) & (u < LARGEST_U_MM) & r["usable"][:, side], r["sight"][:, side]
        error, inside = np.abs(mean - r["z"][:, side]), np.abs(mean - r["z"][:, side]) < 2 * u
        good = stated & there
        rings = np.mean([inside[k][good[k]].mean() < 0.75 for k in range(len(good)) if good[k].sum() > 30])
        out.append("%s told %.1f %% p50 %.3f p95 %.3f inside %.1f %% u %.3f rings %.1f %% out of sight %.1f %%" % (
            ("near", "far")[side], 100 * good.sum() / (there & r["usable"][:, side]).sum(), np.median(error[good]), np.percentile(error[good], 95), 100 * inside[good].mean(),
            np.median(u[good]), 100 * rings, 100 * (stated & ~there).sum() / max(1, (~there & r["usable"][:, side]).sum())))
    print(" | ".join(out), flush=True)


def runs_line(name, r, above, goes_on):
    looked = r["sight"][:, 0] & r["plain"] & (r["toes"][:, 0, BINS] < 0.5)
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
