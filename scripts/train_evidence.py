#!/usr/bin/env python3
"""Trains the reader of the strip (vision/evidence) on samples of made-up scenes and writes its weights.

  train_evidence.py SAMPLES --out FILE.npz [--iterations N] [--batch N] [--seed N] [--budget SECONDS] [--arriving N]

SAMPLES is a folder of make_samples' files; with --arriving N the training begins when N samples lie there and takes in more as
they come. Scenes whose number ends in 5 are held out: the weights kept are those of least surprise (negative log likelihood of
toes and state, which punishes false certainty) on the first of them, a running mean of the weights. Runs on an accelerator where PyTorch finds one.
"""
import math
import os
import sys
import time

import numpy as np
import torch

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from evidence.goals import figures, losses, read_all  # noqa: E402
from evidence.looks import make_strange  # noqa: E402
from evidence.net import Reader, unwrapped, wrapped  # noqa: E402
from evidence.samples import RECORD, Samples, network_input  # noqa: E402
from evidence.training import RunningMean, rate_now, usual_arguments  # noqa: E402


def arguments():
    p = usual_arguments(iterations=8000, batch=16, check_every=500, held=96, width=24)
    p.add_argument("--capacity", type=int, default=0)
    p.add_argument("--strange", type=float, default=0.7, help="share of samples in strange light, tone and noise")
    return p.parse_args()


def begun(a, samples):
    """The network as the training begins: new, or gone on with from weights or from a file that a reader was built with."""
    if not a.begin:
        return Reader(a.width)
    if not a.begin.endswith(".onnx.gz"):
        return Reader.kept_in(a.begin)
    from evidence.unpack import settled, unpacked
    inputs = ({k: v.cpu() for k, v in samples.batch(samples.train[i:i + 4]).items()} for i in range(0, min(64, len(samples.train)), 4))
    return settled(unpacked(a.begin, Reader), (wrapped(network_input(b)) for b in inputs))


def unfused_surprise(r):
    use = r["sight"][:, 0] & r["plain"]
    chance = np.clip(np.where(r["is_unfused"], r["unfused"], 1 - r["unfused"])[use], 1e-6, 1)
    return float(-np.log(chance).mean())


class Keeper(RunningMean):
    """And the best of them so far."""

    def __init__(self, net, path):
        super().__init__(net)
        self.path, self.best = path, math.inf

    def judge(self, net, samples, held, text):
        r = self.judged(net, lambda: read_all([net], samples, held))
        surprise = float((r["nll"] * r["usable"]).sum() / r["usable"].sum()) + 4 * unfused_surprise(r)
        better = surprise < self.best
        if better:
            self.best = surprise
            self.write(self.path)
        print(text, "KEPT" if better else "worse", figures(r), flush=True)


def main():
    a = arguments()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(a.seed)
    torch.backends.cudnn.benchmark = True
    random = torch.Generator(device=device)
    random.manual_seed(a.seed)
    order = np.random.default_rng(a.seed)
    there = sum(os.path.getsize(os.path.join(a.samples, f)) for f in os.listdir(a.samples) if f.endswith(".bin")) // RECORD.itemsize
    samples = Samples(a.samples, device, a.capacity or there)
    began = time.time()
    while True:
        samples.take_in(10**9)
        if samples.count >= a.arriving and len(samples.held) > 0 and len(samples.train) > 0:
            break
        if not a.arriving:
            sys.exit("train_evidence: %s holds no samples of held-out scenes." % a.samples)
        time.sleep(2)
    net = begun(a, samples).to(device).to(memory_format=torch.channels_last)
    keeper = Keeper(net, a.out)
    work = torch.optim.AdamW(net.parameters(), lr=a.rate, weight_decay=0.02)
    print("samples", len(samples.train), "held", len(samples.held), "weights", sum(p.numel() for p in net.parameters()), "%.0f s" % (time.time() - began), flush=True)
    recent, step = {}, 0
    while True:
        done = max(step / a.iterations, (time.time() - began) / a.budget if a.budget else 0)
        if done >= 1:
            break
        if a.arriving and step % 20 == 0:
            samples.take_in(64)
        for group in work.param_groups:
            group["lr"] = rate_now(a.rate, step, 150, done)
        b = samples.batch(np.asarray(samples.train)[order.integers(0, len(samples.train), a.batch)], random)
        with torch.no_grad():
            x = wrapped(network_input(make_strange(b, random, a.strange))).contiguous(memory_format=torch.channels_last)
        with torch.autocast(device, dtype=torch.bfloat16, enabled=device == "cuda"):
            y = net(x)
        parts = losses(unwrapped(y).float(), b)
        work.zero_grad(set_to_none=True)
        sum(parts.values()).backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        work.step()
        keeper.follow(net, step)
        step += 1
        if step % 50 == 0:
            for k, v in parts.items():
                recent[k] = 0.8 * recent.get(k, v.item()) + 0.2 * v.item()
        if step % a.check_every == 0:
            text = "%d %.0f s, %d samples, " % (step, time.time() - began, len(samples.train)) + " ".join("%s %.3f" % p for p in recent.items()) + "\n  "
            keeper.judge(net, samples, samples.held[:a.held], text)
    keeper.judge(net, samples, samples.held, "end, all held out: ")
    keeper.write(a.out.replace(".npz", "_last.npz"))
    print("steps", step, "%.0f s" % (time.time() - began), flush=True)


if __name__ == "__main__":
    main()
