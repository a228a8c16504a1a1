"""What the trainers of the fitted readers share."""
import argparse
import math
import os

import numpy as np


def usual_arguments(iterations, batch, check_every, held, width):
    p = argparse.ArgumentParser()
    p.add_argument("samples")
    p.add_argument("--out", required=True)
    p.add_argument("--iterations", type=int, default=iterations)
    p.add_argument("--batch", type=int, default=batch)
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--rate", type=float, default=2e-3)
    p.add_argument("--budget", type=float, default=0, help="seconds; 0 = no limit. The rate falls by whichever is further on")
    p.add_argument("--arriving", type=int, default=0)
    p.add_argument("--check-every", type=int, default=check_every)
    p.add_argument("--held", type=int, default=held, help="held-out samples looked at on the way")
    p.add_argument("--begin", default="", help="weights, or a committed .onnx.gz, to begin from")
    p.add_argument("--width", type=int, default=width, help="channels of the first level")
    return p


def rate_now(rate, step, warm, done):
    """Up over `warm` steps, then down by half a cosine as `done` goes to 1."""
    return rate * min(1, (step + 1) / warm) * (0.5 * (1 + math.cos(math.pi * done)) + 0.004)


class RunningMean:
    """Of a network's weights."""

    def __init__(self, net):
        self.mean = {k: v.clone() for k, v in net.state_dict().items()}

    def follow(self, net, step):
        keep = min(0.998, (1 + step) / (10 + step))
        for k, v in net.state_dict().items():
            if v.dtype.is_floating_point:
                self.mean[k].mul_(keep).add_(v, alpha=1 - keep)
            else:
                self.mean[k].copy_(v)

    def judged(self, net, look):
        """What `look()` says while the network holds the mean."""
        own = {k: v.clone() for k, v in net.state_dict().items()}
        net.load_state_dict(self.mean)
        said = look()
        net.load_state_dict(own)
        return said

    def write(self, path):
        part = path + ".part.npz"
        np.savez(part, **{k: v.cpu().numpy() for k, v in self.mean.items()})
        os.replace(part, path)
