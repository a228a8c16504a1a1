"""Charts of frames as make_stand_samples writes them (fixtures/training/stand_sample.h), and the wall unrolled from them
about any stand, as vision/pose/stand_strip.cpp does it."""
import os

import numpy as np
import torch
import torch.nn.functional as F

HEADER = np.dtype([("magic", "<i4"), ("width", "<i4"), ("height", "<i4"), ("scene", "<i4"), ("scale", "<f4"), ("cx", "<f4"), ("cy", "<f4"),
                   ("px_per_rad", "<f4"), ("turn", "<f4", 9), ("lean", "<f4", 2), ("offset", "<f4", 2), ("distance", "<f4"), ("radius", "<f4")])
ROWS, COLUMNS, WRAP = 128, 1440, 96
FROM_DEG, TO_DEG = 24.0, 86.0
WELD_ROWS = 64
UNSEEN = -32768


class Charts:
    """All charts of a folder, on the device; takes in what has been written since."""

    def __init__(self, folder, device):
        self.folder, self.device = folder, device
        self.read, self.charts, self.heads = {}, [], []
        self.train, self.held = [], []

    def take_in(self, most=10**9):
        taken = 0
        for name in sorted(os.listdir(self.folder)):
            path = os.path.join(self.folder, name)
            if not name.endswith(".bin"):
                continue
            with open(path, "rb") as f:
                f.seek(self.read.get(name, 0))
                while taken < most:
                    raw = f.read(HEADER.itemsize)
                    if len(raw) < HEADER.itemsize:
                        break
                    head = np.frombuffer(raw, HEADER)[0]
                    n = 2 * int(head["width"]) * int(head["height"])
                    body = f.read(2 * n)
                    if len(body) < 2 * n:
                        break
                    chart = torch.from_numpy(np.frombuffer(body, "<i2").copy()).view(2, int(head["height"]), int(head["width"]))
                    (self.held if head["scene"] % 10 == 5 else self.train).append(len(self.charts))
                    self.charts.append(chart.to(self.device))
                    self.heads.append(head)
                    self.read[name] = f.tell()
                    taken += 1
        return taken

    def truth(self, ids):
        t = {k: torch.tensor(np.stack([self.heads[i][k] for i in ids]), device=self.device, dtype=torch.float32)
             for k in ("lean", "offset", "distance", "scale", "cx", "cy", "turn")}
        t["turn"] = t["turn"].view(-1, 3, 3)
        return t


def sights(stand, turn, device):
    """Sights of the strip's cells (two rows each) in each camera's frame: B x 256 x 1440 x 3."""
    lean, offset = stand[:, :2], stand[:, 2:]
    a = torch.cat([lean, (1 - lean.square().sum(1, keepdim=True)).clamp_min(1e-6).sqrt()], 1)
    x = torch.tensor([1.0, 0, 0], device=device).expand_as(a)
    e1 = F.normalize(x - a[:, :1] * a, dim=1)
    e2 = torch.cross(a, e1, dim=1)
    phi = 2 * np.pi * (torch.arange(COLUMNS, device=device) + 0.5) / COLUMNS
    angle = torch.deg2rad(TO_DEG - (torch.arange(2 * ROWS, device=device) + 0.5) * (TO_DEG - FROM_DEG) / (2 * ROWS))
    z = 1 / torch.tan(angle)
    ring = phi.cos()[None, :, None] * e1[:, None] + phi.sin()[None, :, None] * e2[:, None]
    ring = ring - offset[:, :1, None] * e1[:, None] - offset[:, 1:, None] * e2[:, None]
    at = ring[:, None] + z[None, :, None, None] * a[:, None, None]
    return torch.einsum("bij,brcj->brci", turn, at)


def unroll(charts, ids, truth, stand):
    """B x 2 x 128 x 1440: light, tint; and what is seen, B x 1 x 128 x 1440 in {0, 1}."""
    s = sights(stand, truth["turn"], charts.device)
    factor = truth["scale"][:, None, None] / (s.norm(dim=3) + s[..., 2]).clamp_min(1e-6)
    u = s[..., 0] * factor + truth["cx"][:, None, None]
    v = s[..., 1] * factor + truth["cy"][:, None, None]
    values, seen = [], []
    for k, i in enumerate(ids):
        chart = charts.charts[i]
        h, w = chart.shape[1:]
        there = (chart[:1] != UNSEEN).float()
        planes = torch.cat([chart.float() / 8192 * there, there])[None]
        grid = torch.stack([2 * u[k] / (w - 1) - 1, 2 * v[k] / (h - 1) - 1], -1)[None]
        got = F.grid_sample(planes, grid, mode="bilinear", padding_mode="zeros", align_corners=True)[0]
        ok = (got[2] > 0.999).float()
        ok2 = ok.view(ROWS, 2, COLUMNS).sum(1)
        both = (got[:2] * ok).view(2, ROWS, 2, COLUMNS).sum(2) / ok2.clamp_min(1)
        values.append(both)
        seen.append((ok2 > 0).float()[None])
    return torch.stack(values), torch.stack(seen)


def _gauss(sigma, device):
    half = int(3 * sigma)
    x = torch.arange(-half, half + 1, device=device, dtype=torch.float32)
    k = torch.exp(-0.5 * (x / sigma) ** 2)
    return k / k.sum()


def blur_around(x, sigma):
    k = _gauss(sigma, x.device)
    half = len(k) // 2
    x = torch.cat([x[..., -half:], x, x[..., :half]], -1)
    return F.conv2d(x, k.view(1, 1, 1, -1))


def blur_along(x, sigma):
    k = _gauss(sigma, x.device)
    return F.conv2d(x, k.view(1, 1, -1, 1), padding=(len(k) // 2, 0))


def network_input(values, seen):
    """What the network is shown, 96 columns wrapped on either side: level, fine change around, change along, tint, seen."""
    light, tint = values[:, :1] * seen, values[:, 1:] * seen
    count = seen.sum((2, 3), keepdim=True).clamp_min(1)
    level = (light - light.sum((2, 3), keepdim=True) / count) * seen
    hue = (tint - tint.sum((2, 3), keepdim=True) / count) * seen
    around = (level - blur_around(level, 8) / blur_around(seen, 8).clamp_min(1e-3)) * seen
    along = (level - blur_along(level, 5) / blur_along(seen, 5).clamp_min(1e-3)) * seen
    x = torch.cat([level.clamp(-3, 3), (12 * around).clamp(-3, 3), (6 * along).clamp(-3, 3), (3 * hue).clamp(-3, 3), seen], 1)
    return torch.cat([x[..., -WRAP:], x, x[..., :WRAP]], -1)
