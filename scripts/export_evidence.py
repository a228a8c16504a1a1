#!/usr/bin/env python3
"""Writes trained networks as the files that vision/evidence is built with: strip_reader_1.onnx.gz and so on, one a network, and
strip_reader.json.

  export_evidence.py WEIGHTS.npz [WEIGHTS.npz ...] [--samples FOLDER --version N [--trained TEXT] [--lines FILE.npz]] --out FOLDER

The reader is the mean of what its networks say. Without --samples the networks alone are written. Calibrates on the held-out scenes
of FOLDER (each also in strange looks), which the training never saw: what the spread of a toe and the chance of an unfused edge must
be multiplied by, and the levels from which something is stated. Every number of the JSON file comes from here, but for the levels of
"covered" and of the far toe (evidence/calibrate.py).
"""
import argparse
import hashlib
import json
import os
import sys

import numpy as np
import torch

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from evidence.calibrate import calibrate, err_alike, not_looser  # noqa: E402
from evidence.goals import figures, read_all  # noqa: E402
from evidence.looks import make_strange  # noqa: E402
from evidence.net import HEADS, Reader, WRAP  # noqa: E402
from evidence.pack import write_onnx  # noqa: E402
from evidence.samples import COLUMNS, RECORD, WINDOW, Samples  # noqa: E402


def learn_trust(nets, hashes, a):
    there = sum(os.path.getsize(os.path.join(a.samples, f)) for f in os.listdir(a.samples) if f.endswith(".bin")) // RECORD.itemsize
    device = "cuda" if torch.cuda.is_available() else "cpu"
    samples = Samples(a.samples, device, there, held_only=True)
    samples.take_in(10**9)
    for net in nets:
        net.to(device)
    held = samples.held[::max(1, len(samples.held) // a.most)][:a.most]
    random = torch.Generator(device=device)
    random.manual_seed(7)
    plain = read_all(nets, samples, held)
    strange = read_all(nets, samples, held, strange=lambda b: make_strange(b, random))
    print("toes err alike:", err_alike(plain, [samples.ids[i] for i in held]))
    print("plain  ", figures(plain))
    print("strange", figures(strange))
    both = {k: np.concatenate([plain[k], strange[k]]) for k in plain}
    facts = {"name": "strip_reader", "version": a.version, "trained": a.trained, "networks": hashes, "heads": list(HEADS), "held_out_samples": len(held)}
    trust = calibrate(both)
    facts.update(not_looser(trust, json.load(open(a.not_looser))) if a.not_looser else trust)
    with open(os.path.join(a.out, "strip_reader.json"), "w") as f:
        f.write(json.dumps(facts, indent=1) + "\n")
    print(json.dumps(facts))
    if a.lines:
        short = {k: v.astype(np.float16) if v.dtype == np.float32 else v for k, v in both.items()}
        radius_mm = samples.store["camera"][held][:, 0].cpu().numpy()
        np.savez_compressed(a.lines, ids=np.array([samples.ids[i] for i in held]), radius_mm=radius_mm, **short)


def main():
    p = argparse.ArgumentParser()
    p.add_argument("weights", nargs="+")
    p.add_argument("--samples")
    p.add_argument("--out", required=True)
    p.add_argument("--version", type=int, default=0)
    p.add_argument("--trained", default="", help="on what, for the record")
    p.add_argument("--lines", default="", help="what was said of the held-out lines, for figures")
    p.add_argument("--not-looser", default="", help="a strip_reader.json of more held-out samples: no less doubt than there")
    p.add_argument("--most", type=int, default=400, help="held-out samples used")
    a = p.parse_args()
    nets, hashes = [Reader.kept_in(path).eval() for path in a.weights], []
    os.makedirs(a.out, exist_ok=True)
    for k, net in enumerate(nets, 1):
        path = os.path.join(a.out, "strip_reader_%d.onnx.gz" % k)
        write_onnx(net, torch.zeros(1, 6, WINDOW, COLUMNS + 2 * WRAP), ("strip", "heads"), path)
        hashes.append({"file": os.path.basename(path), "sha256": hashlib.sha256(open(path, "rb").read()).hexdigest()})
    if a.samples:
        learn_trust(nets, hashes, a)


if __name__ == "__main__":
    main()
