"""The reader's network: a U-Net on the laid-out strip (fixtures/training/sample.h, vision/evidence/laid_flat.h).

In: 6 x 256 x 1600 (blue, green, red, seen, log of mm per pixel, obliquity; 80 columns wrapped on either side).
Out: HEADS x 128 x 800, one cell for two rows and two columns.
"""
import numpy as np
import torch
import torch.nn as nn
import torch.nn.functional as F

WRAP = 80
HEADS = ("near_toe", "far_toe", "near_hidden", "far_hidden", "near_unfused", "covered", "pore", "near_undercut", "far_undercut",
         "pocket", "scale", "hollow")


def conv(a, b, kernel=3, stride=1, pad=None):
    pad = kernel // 2 if pad is None else pad
    return nn.Sequential(nn.Conv2d(a, b, kernel, stride, pad, bias=False), nn.BatchNorm2d(b), nn.ReLU(inplace=True))


def kept_in(path, make):
    """The network that `make` builds for the weights in a file, with them."""
    weights = {k: torch.from_numpy(v) for k, v in np.load(path).items()}
    net = make(weights)
    net.load_state_dict(weights)
    return net


class Reader(nn.Module):
    def __init__(self, width=24):
        super().__init__()
        c = [width * k for k in (1, 2, 4, 6, 8)]
        self.stem = nn.Sequential(conv(6, c[0], 4, 2, 1), conv(c[0], c[0]))
        self.down = nn.ModuleList([nn.Sequential(conv(c[i], c[i + 1], 3, 2), conv(c[i + 1], c[i + 1])) for i in range(4)])
        self.deep = conv(c[4], c[4])
        self.whole = nn.Conv2d(c[4], c[4], 1)  # how the ring looks all round
        self.up = nn.ModuleList([nn.ConvTranspose2d(c[i + 1], c[i], 2, 2) for i in range(4)])
        twice = (True, True, False, False)
        self.join = nn.ModuleList(
            [nn.Sequential(conv(c[i], c[i]), *([conv(c[i], c[i])] if twice[i] else [])) for i in range(4)])
        self.head = nn.Conv2d(c[0], len(HEADS), 1)
        with torch.no_grad():
            self.head.bias[5:11] = -4  # most cells hold nothing

    @classmethod
    def kept_in(cls, path):
        """The network whose weights train_evidence.py wrote there."""
        return kept_in(path, lambda weights: cls(len(weights["stem.0.0.weight"])))

    def forward(self, x):
        levels = [self.stem(x)]
        for down in self.down:
            levels.append(down(levels[-1]))
        y = self.deep(levels[4])
        y = y + F.interpolate(self.whole(F.adaptive_avg_pool2d(y, 1)), size=y.shape[2:])
        for i in (3, 2, 1, 0):
            y = self.join[i](self.up[i](y) + levels[i])
        return self.head(y)


def wrapped(x):
    return torch.cat([x[..., -WRAP:], x, x[..., :WRAP]], -1)


def unwrapped(y):
    return y[..., WRAP // 2:-(WRAP // 2)]
