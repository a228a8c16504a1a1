"""The stand reader's network: each block of 8 degrees of the unrolled wall says how tilt and offset must be moved.

In: 5 x 128 x 1632 (scripts/stand/samples.py). Out, one row of 45 x 14 + 64 + 2: of each block ten numbers of a lower triangle L
and four of an information vector, in the block's own directions (radial, around; tilt, then offset); the weld's row; how likely
no weld is in sight; ln of what all information is multiplied by. Information of blocks, cameras and frames adds up.
"""
import math

import torch
import torch.nn as nn
import torch.nn.functional as F

from evidence.net import conv, kept_in

BLOCKS = 45
UNIT = (0.02, 0.02, 0.05, 0.05)  # rad, radii
PRIOR = 0.04  # information at no evidence, in these units


class Res(nn.Module):
    def __init__(self, c):
        super().__init__()
        self.one = conv(c, c)
        self.two = nn.Sequential(nn.Conv2d(c, c, 3, 1, 1, bias=False), nn.BatchNorm2d(c))

    def forward(self, x):
        return F.relu(x + self.two(self.one(x)))


class StandNet(nn.Module):
    def __init__(self, width=32):
        super().__init__()
        w = width
        c = (3 * w // 4, w, 3 * w // 2, 5 * w // 2, 4 * w)
        self.stem = conv(5, c[0], 5, 2, 2)
        self.one = nn.Sequential(conv(c[0], c[1], 3, (1, 2), 1), Res(c[1]))
        self.two = nn.Sequential(conv(c[1], c[2], 3, 2), Res(c[2]), Res(c[2]))
        self.three = nn.Sequential(conv(c[2], c[3], 3, 2), Res(c[3]), Res(c[3]))
        self.four = nn.Sequential(conv(c[3], c[4], 3, 2), Res(c[4]), Res(c[4]))
        self.blocks = nn.Sequential(conv(c[4], 5 * w, (8, 1), 1, 0), conv(5 * w, 5 * w, (1, 3), 1, (0, 1)), nn.Conv2d(5 * w, 14, 1))
        self.rows = nn.Sequential(conv(c[1] + c[3] + c[4], 3 * w, (5, 1), 1, (2, 0)), conv(3 * w, 2 * w, (5, 1), 1, (2, 0)), nn.Conv2d(2 * w, 1, 1))
        self.whole = nn.Sequential(nn.Conv2d(c[4], w, 1), nn.ReLU(inplace=True), nn.Conv2d(w, 2, 1))
        with torch.no_grad():
            self.blocks[-1].weight.mul_(0.1)
            self.blocks[-1].bias.zero_()
            self.blocks[-1].bias[:4] = -2

    def forward(self, x):
        f1 = self.one(self.stem(x))
        f3 = self.three(self.two(f1))
        f4 = self.four(f3)
        blocks = self.blocks(f4)[..., 3:-3]
        m1 = f1[..., 24:-24].mean(3, keepdim=True)
        m3 = f3[..., 6:-6].mean(3, keepdim=True)
        m4 = f4[..., 3:-3].mean(3, keepdim=True)
        rows = self.rows(torch.cat([m1, F.interpolate(m3, scale_factor=(4, 1), mode="nearest"), F.interpolate(m4, scale_factor=(8, 1), mode="nearest")], 1))
        whole = self.whole(m4.mean(2, keepdim=True))
        return torch.cat([blocks.flatten(1), rows.flatten(1), whole.flatten(1)], 1)

    @classmethod
    def kept_in(cls, path):
        """The network whose weights train_stand.py wrote there."""
        return kept_in(path, lambda weights: cls(len(weights["one.0.0.weight"])))


def said(y):
    """Information (B x 4 x 4) and its vector in UNITs, weld logits (B x 65, the last: none)."""
    y = y.float()
    blocks = y[:, :14 * BLOCKS].view(-1, 14, BLOCKS)
    diagonal = F.softplus(blocks[:, :4])
    low = blocks[:, 4:10]
    zero = torch.zeros_like(low[:, 0])
    lower = torch.stack([diagonal[:, 0], zero, zero, zero, low[:, 0], diagonal[:, 1], zero, zero, low[:, 1], low[:, 2], diagonal[:, 2], zero,
                         low[:, 3], low[:, 4], low[:, 5], diagonal[:, 3]], 1).view(-1, 4, 4, BLOCKS)
    phi = 2 * math.pi * (torch.arange(BLOCKS, device=y.device) + 0.5) / BLOCKS
    c, s = phi.cos(), phi.sin()
    turn = torch.zeros(4, 4, BLOCKS, device=y.device)
    for k in (0, 2):
        turn[k, k], turn[k, k + 1], turn[k + 1, k], turn[k + 1, k + 1] = c, -s, s, c
    root = torch.einsum("ijn,bjkn->bikn", turn, lower)
    information = torch.einsum("bikn,bjkn->bij", root, root) / BLOCKS
    vector = torch.einsum("ijn,bjn->bi", turn, blocks[:, 10:]) / BLOCKS
    scale = y[:, -1].clamp(-6, 6).exp()
    information = information * scale[:, None, None] + PRIOR * torch.eye(4, device=y.device)
    return information, vector * scale[:, None], y[:, 14 * BLOCKS:-1]
