"""What the network is to say, how wrong it is, and the figures of a validation."""
import numpy as np
import torch
import torch.nn.functional as F

from .along_ring import along_ring
from .net import HEADS, unwrapped, wrapped
from .samples import network_input

BINS, BIN_MM, FIRST_MM = 128, 0.2, -12.75
HEAD = {name: i for i, name in enumerate(HEADS)}
MAPS = (("covered", 1, 2.0), ("pore", 2, 80.0), ("near_undercut", 4, 30.0), ("far_undercut", 8, 30.0), ("pocket", 16, 8.0), ("scale", 32, 5.0))


def said(y):
    """Network output to log chance of each toe place and of hidden, maps and line logits."""
    hidden = y[:, 2:4].mean(2, keepdim=True)
    toes = F.log_softmax(torch.cat([y[:, 0:2], hidden], 2), 2)  # n x 2 x 129 x 720
    place = F.softmax(y[:, 0].detach(), 1)
    return {"toes": toes, "unfused": (place * y[:, HEAD["near_unfused"]]).sum(1), "hollow": (place * y[:, HEAD["hollow"]]).sum(1),
            "maps": y}


def truth(b):
    flag = lambda k: (b["lines"] & k) > 0
    sight = torch.stack([flag(1), flag(2)], 1)
    bins = (b["z"] - FIRST_MM) / BIN_MM
    inside = (bins > 0) & (bins < BINS - 1.001)
    return {"bins": bins, "sight": sight & inside, "usable": (~flag(16))[:, None] & (inside | ~sight), "unfused": flag(4), "hollow": flag(32), "plain": ~flag(16)}


def toe_loss(toes, t):
    """Cross-entropy against the two bins beside the true place, or against `hidden`; per line."""
    first = t["bins"].clamp(0, BINS - 2).floor().long()
    part = (t["bins"] - first).clamp(0, 1)
    at = lambda k: torch.gather(toes, 2, (first + k)[:, :, None])[:, :, 0]
    return torch.where(t["sight"], -(at(0) * (1 - part) + at(1) * part), -toes[:, :, BINS])


def losses(y, b):
    s, t = said(y), truth(b)
    mean = lambda value, where: (value * where).sum() / where.sum().clamp(min=1)
    lines = (t["sight"][:, 0] & t["plain"]).float()
    parts = {"toes": mean(toe_loss(s["toes"], t), t["usable"].float()),
             "unfused": 4.0 * mean(F.binary_cross_entropy_with_logits(s["unfused"], t["unfused"].float(), reduction="none"), lines),
             "hollow": 0.2 * mean(F.binary_cross_entropy_with_logits(s["hollow"], t["hollow"].float(), reduction="none"), lines)}
    for name, bit, weight in MAPS:
        parts[name] = weight * F.binary_cross_entropy_with_logits(y[:, HEAD[name]], ((b["map"] & bit) > 0).float())
    return parts


def places(toes):
    """Mean and spread of each toe's place given that it is in sight, mm, and the chance that it is hidden."""
    z = FIRST_MM + BIN_MM * torch.arange(BINS, device=toes.device, dtype=torch.float32).view(1, 1, -1, 1)
    chance = F.softmax(toes[:, :, :BINS], 2)
    best = FIRST_MM + BIN_MM * chance.argmax(2, keepdim=True)
    close = chance * ((z - best).abs() < 1.01)
    mean = (close * z).sum(2) / close.sum(2)
    spread = ((chance * (z - mean[:, :, None]) ** 2).sum(2)).sqrt()
    return mean, spread, toes[:, :, BINS].exp()


def told(nets, x):
    """What several networks say as one: the mean of their chances (vision/evidence/evidence.cpp)."""
    each = [said(unwrapped(net(wrapped(x))).float()) for net in nets]

    def mean(chance):
        return sum(chance(s) for s in each) / len(each)

    return {"toes": mean(lambda s: s["toes"].double().exp()).log().float(), "unfused": mean(lambda s: torch.sigmoid(s["unfused"])),
            "hollow": mean(lambda s: torch.sigmoid(s["hollow"])), "maps": mean(lambda s: torch.sigmoid(s["maps"]))}


def surer_of(own, ring):
    """Each line as it is told by itself, or by its neighbours where these are surer; of `places`' mean and spread."""
    take = ring[1] < own[1]
    return torch.where(take, ring[0], own[0]), torch.where(take, ring[1], own[1])


def from_ring(toes, **options):
    """`toes` as the ring tells them (vision/evidence/along_ring.h); any number of toes."""
    n, sides, sight, hidden = len(toes), toes.shape[1], toes[:, :, :BINS].exp(), toes[:, :, BINS].exp().cpu().numpy()
    place = (sight / sight.sum(2, keepdim=True)).transpose(2, 3).flatten(0, 1).cpu().numpy()
    ring = torch.from_numpy(along_ring(place, hidden.reshape(n * sides, -1), BIN_MM, **options)).to(toes.device)
    return torch.cat([(ring.unflatten(0, (n, sides)).transpose(2, 3) + 1e-30).log(), toes[:, :, BINS:]], 2)


def read_all(nets, samples, which, batch=8, strange=None):
    """What the networks say together of whole samples: arrays of lines, and each map's counts by level of chance."""
    rows, kept = [], [net.training for net in nets]
    for net in nets:
        net.eval()
    with torch.no_grad():
        for i in range(0, len(which), batch):
            b = samples.batch(which[i:i + batch])
            if strange is not None:
                b = strange(b)
            s, t = told(nets, network_input(b)), truth(b)
            mean, spread, hidden = places(s["toes"])
            far = surer_of((mean[:, 1:], spread[:, 1:]), places(from_ring(s["toes"][:, 1:]))[:2])  # as in evidence.cpp
            mean, spread = torch.cat([mean[:, :1], far[0]], 1), torch.cat([spread[:, :1], far[1]], 1)
            nll = toe_loss(s["toes"], t)
            got = {"error": mean - b["z"], "spread": spread, "pixel": pixel_at(b["log_resolution"], mean), "hidden": hidden, "nll": nll, "sight": t["sight"], "usable": t["usable"],
                   "unfused": s["unfused"], "is_unfused": t["unfused"], "plain": t["plain"], "hollow": s["hollow"], "is_hollow": t["hollow"]}
            for name, bit, _ in MAPS:
                chance, true = s["maps"][:, HEAD[name]], (b["map"] & bit) > 0
                level = (chance * 20).long().clamp(0, 19)
                got["map_" + name] = torch.stack([torch.bincount(level[true], minlength=20), torch.bincount(level[~true], minlength=20)])[None]
            rows.append({k: v.cpu().numpy() for k, v in got.items()})
    for net, training in zip(nets, kept):
        net.train(training)
    return {k: np.concatenate([r[k] for r in rows]) for k in rows[0]}


def pixel_at(log_resolution, z):
    """What a source pixel spans along z at each toe, mm; as Doubt of evidence.cpp reads it."""
    rows = log_resolution.shape[1]
    row = ((z / 0.1).round().long() + rows // 2).clamp(0, rows - 1)
    return torch.gather(log_resolution[:, :, ::2], 1, row).exp()


def figures(r):
    """A line of text: how good it is."""
    out = ["nll %.3f" % (float((r["nll"] * r["usable"]).sum()) / max(1, int(r["usable"].sum())))]
    for side, name in enumerate(("near", "far")):
        use = r["sight"][:, side] & r["usable"][:, side]
        told = use & (r["hidden"][:, side] < 0.5)
        e, u = np.abs(r["error"][:, side][told]), r["spread"][:, side][told]
        if len(e):
            out.append("%s p50 %.3f p95 %.3f in 2s %.3f told %.3f" % (name, np.median(e), np.percentile(e, 95), (e < 2 * u).mean(), told.sum() / use.sum()))
        blind = ~r["sight"][:, side] & r["usable"][:, side]
        out.append("blind told %.3f" % (((r["hidden"][:, side] < 0.5) & blind).sum() / max(1, blind.sum())))
    use = r["sight"][:, 0] & r["plain"]
    said_, true = r["unfused"][use] > 0.5, r["is_unfused"][use]
    out.append("unfused hit %.3f false %.4f" % ((said_ & true).sum() / max(1, true.sum()), (said_ & ~true).sum() / max(1, (~true).sum())))
    for name, _, _ in MAPS:
        hit, false = r["map_" + name].sum(0)
        out.append("%s %.2f/%.2f" % (name, hit[10:].sum() / max(1, hit.sum()), hit[10:].sum() / max(1, hit[10:].sum() + false[10:].sum())))
    return " | ".join(out)
