#!/usr/bin/env python3
"""Trains the reader of the strip (vision/evidence) on samples of made-up scenes and writes its weights.

  train_evidence.py SAMPLES --out FILE.npz [--iterations N] [--batch N] [--seed N] [--budget SECONDS] [--arriving N]

SAMPLES is a folder of make_samples' files; with --arriving N the training begins when N samples lie there and takes in more as
they come. Scenes whose number ends in 5 are held out: the weights kept are those of least surprise (negative log likelihood of
toes and state, which punishes false certainty) on the first of them, a running mean of the weights. Runs on an accelerator where PyTorch finds one.
"""
import argparse
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


def arguments():
    p = argparse.ArgumentParser()
    p.add_argument("samples")
    p.add_argument("--out", required=True)
    p.add_argument("--iterations", type=int, default=8000)
    p.add_argument("--batch", type=int, default=16)
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--rate", type=float, default=2e-3)
    p.add_argument("--budget", type=float, default=0, help="seconds; 0 = no limit. The rate falls by whichever is further on")
    p.add_argument("--arriving", type=int, default=0)
    p.add_argument("--capacity", type=int, default=0)
    p.add_argument("--check-every", type=int, default=500)
    p.add_argument("--held", type=int, default=96, help="held-out samples looked at on the way")
    p.add_argument("--begin", default="", help="weights to begin from")
    p.add_argument("--width", type=int, default=24, help="channels of the first level")
    p.add_argument("--strange", type=float, default=0.7, help="share of samples in strange light, tone and noise")
    return p.parse_args()


def load(net, path):
    net.load_state_dict({k: torch.from_numpy(v) for k, v in np.load(path).items()})


def unfused_surprise(r):
    use = r["sight"][:, 0] & r["plain"]
    chance = np.clip(np.where(r["is_unfused"], r["unfused"], 1 - r["unfused"])[use], 1e-6, 1)
    return float(-np.log(chance).mean())


class Keeper:
    """A running mean of the weights, and the best of them so far."""

    def __init__(self, net, path):
        self.mean = {k: v.clone() for k, v in net.state_dict().items()}
        self.path, self.best = path, math.inf

    def follow(self, net, step):
        keep = min(0.998, (1 + step) / (10 + step))
        for k, v in net.state_dict().items():
            if v.dtype.is_floating_point:
                self.mean[k].mul_(keep).add_(v, alpha=1 - keep)
            else:
                self.mean[k].copy_(v)

    def write(self, path):
        part = path + ".part.npz"
        np.savez(part, **{k: v.cpu().numpy() for k, v in self.mean.items()})
        os.replace(part, path)

    def judge(self, net, samples, held, text):
        own = {k: v.clone() for k, v in net.state_dict().items()}
        net.load_state_dict(self.mean)
        r = read_all(net, samples, held)
        net.load_state_dict(own)
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
    net = Reader(a.width).to(device).to(memory_format=torch.channels_last)
    if a.begin:
        load(net, a.begin)
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
            group["lr"] = a.rate * min(1, (step + 1) / 150) * (0.5 * (1 + math.cos(math.pi * done)) + 0.004)
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
