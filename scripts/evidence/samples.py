"""Records of make_samples (fixtures/training/sample.h), kept on the device, and batches cut out of them."""
import glob
import math
import os

import numpy as np
import torch

ROWS, COLUMNS, LINES, WINDOW = 320, 1440, 720, 256
RECORD = np.dtype([("image", "u1", (ROWS, COLUMNS, 3)), ("seen", "u1", (ROWS, COLUMNS // 8)),
                   ("log_resolution", "u1", (ROWS // 2, LINES)), ("map", "u1", (ROWS // 2, LINES)), ("z", "<f4", (2, LINES)),
                   ("lines", "u1", (LINES,)), ("camera", "<f4", (4,)), ("id", "<i4", (4,))])
FIELDS = ("image", "seen", "log_resolution", "map", "z", "lines", "camera")
HELD_OUT = 5  # scenes whose number ends in this are never trained on


class Samples:
    def __init__(self, folder, device, capacity, held_only=False):
        self.held_only = held_only
        self.folder, self.device, self.capacity = folder, device, capacity
        self.taken, self.count, self.train, self.held, self.ids = {}, 0, [], [], []
        self.store = {}

    def _keep(self, records):
        for name in FIELDS:
            part = torch.from_numpy(np.array(records[name]))
            if name not in self.store:
                self.store[name] = torch.zeros((self.capacity,) + part.shape[1:], dtype=part.dtype, device=self.device)
            self.store[name][self.count:self.count + len(records)] = part.to(self.device)
        for record in records["id"]:
            (self.held if record[0] % 10 == HELD_OUT else self.train).append(self.count)
            self.ids.append(tuple(int(v) for v in record))
            self.count += 1

    def take_in(self, at_most=400):
        """New whole records of all parts, in the order of the scenes; how many."""
        fresh = []
        for path in sorted(glob.glob(os.path.join(self.folder, "*.bin"))):
            whole, had = os.path.getsize(path) // RECORD.itemsize, self.taken.get(path, 0)
            if whole > had:
                fresh.append((path, had, whole))
        got, room = 0, at_most if self.held_only else min(at_most, self.capacity - self.count)
        for path, had, whole in fresh:
            whole = min(whole, had + room - got)
            if whole <= had:
                continue
            records = np.memmap(path, RECORD, mode="r", offset=had * RECORD.itemsize, shape=(whole - had,))
            self._keep(records[records["id"][:, 0] % 10 == HELD_OUT] if self.held_only else records)
            self.taken[path] = whole
            got += whole - had
        return got

    def batch(self, which, random=None):
        """Window shifted, turned and mirrored by `random`; None: the middle, as it lies."""
        n, dev, s = len(which), self.device, self.store
        ix = torch.as_tensor(which, device=dev)
        draw = lambda a, b: torch.randint(a, b, (n,), generator=random, device=dev)
        half = (ROWS - WINDOW) // 4
        cut = 2 * (draw(0, 2 * half + 1) if random is not None else torch.full((n,), half, device=dev))
        turn = draw(0, LINES) if random is not None else torch.zeros(n, dtype=torch.long, device=dev)
        way = 1 - 2 * draw(0, 2) if random is not None else torch.ones(n, dtype=torch.long, device=dev)
        rows = cut[:, None] + torch.arange(WINDOW, device=dev)
        lines = (way[:, None] * torch.arange(LINES, device=dev) + turn[:, None]) % LINES
        columns = (way[:, None] * torch.arange(COLUMNS, device=dev) + (way[:, None] < 0) + 2 * turn[:, None]) % COLUMNS
        b = ix[:, None, None]
        out = {"image": s["image"][b, rows[:, :, None], columns[:, None]].permute(0, 3, 1, 2).float() / 255}
        byte = s["seen"][b, rows[:, :, None], (columns // 8)[:, None]].long()
        out["seen"] = ((byte >> (7 - columns % 8)[:, None]) & 1).float()
        low = rows[:, ::2] // 2
        coarse = s["log_resolution"][b, low[:, :, None], lines[:, None]].float() / 50 - 4
        out["log_resolution"] = coarse.repeat_interleave(2, 1).repeat_interleave(2, 2)
        out["map"] = s["map"][b, low[:, :, None], lines[:, None]]
        shift = (cut + (WINDOW - ROWS) // 2).float() * 0.1
        out["z"] = s["z"][ix[:, None, None], torch.arange(2, device=dev)[:, None], lines[:, None]] - shift[:, None, None]
        out["lines"] = s["lines"][ix[:, None], lines]
        radius, x, y, z = s["camera"][ix].T[:, :, None]
        theta = (columns.float() - 0.5) * (2 * math.pi / COLUMNS)
        across = torch.hypot(-radius * theta.sin() - x, radius * theta.cos() - y).clamp(min=1)
        out["obliquity"] = ((rows.float() - ROWS // 2)[:, :, None] * 0.1 - z[:, :, None]) / across[:, None]
        return out


def network_input(b):
    """As vision/evidence/network.cpp lays it out."""
    seen = b["seen"][:, None]
    return torch.cat([(b["image"] - 0.4) * 4 * seen, seen, ((b["log_resolution"] + 1) * b["seen"])[:, None],
                      b["obliquity"][:, None]], 1)
