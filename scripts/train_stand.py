#!/usr/bin/env python3
"""Trains the reader of the stand (vision/pose/stand_reader) on charts of made-up scenes and writes its weights.

  train_stand.py SAMPLES --out FILE.npz [--iterations N] [--batch N] [--seed N] [--budget SECONDS] [--arriving N] [--begin FILE]

SAMPLES is a folder of make_stand_samples' files; with --arriving N the training begins when N charts lie there and takes in more as
they come. Scenes whose number ends in 5 are held out. Runs on an accelerator where PyTorch finds one.
"""
import math
import os
import sys
import time

import numpy as np
import torch
import torch.nn.functional as F

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from evidence.training import RunningMean, rate_now, usual_arguments  # noqa: E402
from stand.net import StandNet, UNIT, said  # noqa: E402
from stand.samples import COLUMNS, FROM_DEG, TO_DEG, WELD_ROWS, Charts, network_input, unroll  # noqa: E402

DEG = math.pi / 180
FREEDOM = 5.0  # of the t distribution: some frames are far off whatever is said


def disturbed(truth, random):
    """Stands about the true ones: along the valley of tilt against offset, and aside from it."""
    n, device = len(truth["lean"]), truth["lean"].device

    def normal():
        return torch.randn(n, 2, generator=random, device=device)

    def one_of(*sizes):
        return torch.tensor(sizes, device=device)[torch.randint(len(sizes), (n, 1), generator=random, device=device)]

    along = normal() * one_of(0.3, 1, 2.5, 4.5) * DEG
    lean = along + normal() * one_of(0.1, 0.4, 1.2) * DEG
    offset = along / 0.45 * (1 + 0.3 * normal()) + normal() * one_of(0.005, 0.02, 0.05)
    stand = torch.cat([truth["lean"] + lean, truth["offset"] + offset], 1)
    stand[:, 2:] *= (0.6 / stand[:, 2:].norm(dim=1, keepdim=True).clamp_min(1e-6)).clamp_max(1)
    return stand


def strange(values, seen, random):
    """Other light, tone, noise, and things before the wall."""
    n, device = len(values), values.device

    def draw(*shape):
        return torch.rand(n, *shape, generator=random, device=device)

    light, tint = values[:, :1], values[:, 1:]
    field = torch.randn(n, 1, 5, 9, generator=random, device=device) * 0.35 * draw(1, 1, 1) ** 2
    field[..., -1] = field[..., 0]
    light = light + F.interpolate(field, size=light.shape[2:], mode="bilinear", align_corners=True)
    light = light * (0.6 + 0.9 * draw(1, 1, 1))
    light = light + torch.randn(light.shape, generator=random, device=device) * 0.06 * draw(1, 1, 1) ** 3
    tint = tint * (2 * draw(1, 1, 1) - 0.5)
    column = torch.arange(COLUMNS, device=device)
    for _ in range(2):
        width = (draw(1) < 0.35) * draw(1) ** 2 * 0.4 * COLUMNS
        off = (column[None] - draw(1) * COLUMNS) % COLUMNS
        hide = (off < width)[:, None, None].float()
        unseen = (draw(1, 1, 1) < 0.5).float()
        level = 4 * draw(1, 1, 1) - 2
        light = torch.where((hide * (1 - unseen)) > 0, level + 0.1 * light, light)
        seen = seen * (1 - hide * unseen)
    return torch.cat([light, tint], 1), seen


def mirrored(values, seen, change, random):
    if torch.rand((), generator=random, device=values.device) < 0.5:
        return values, seen, change
    return values.flip(3), seen.flip(3), change * change.new_tensor([1, -1, 1, -1])


def weld_row(distance):
    angle = torch.atan2(torch.ones_like(distance), distance) / DEG
    row = (TO_DEG - angle) / (TO_DEG - FROM_DEG) * WELD_ROWS - 0.5
    return torch.where((distance > 0) & (row > -0.5) & (row < WELD_ROWS - 0.5), row, torch.full_like(row, -1))


def weld_loss(logits, row):
    bins = torch.arange(WELD_ROWS, device=row.device)
    goal = torch.exp(-0.5 * ((bins[None] - row[:, None]) / 0.8) ** 2)
    goal = torch.cat([goal / goal.sum(1, keepdim=True).clamp_min(1e-9), torch.zeros_like(row)[:, None]], 1)
    goal[row < 0] = 0
    goal[row < 0, -1] = 1
    return -(goal * F.log_softmax(logits, 1)).sum(1).mean()


def surprise(information, vector, change):
    """Of the true change, t distributed; its squared distance in standard deviations."""
    mean = torch.linalg.solve(information, vector)
    off = change - mean
    m2 = torch.einsum("bi,bij,bj->b", off, information, off)
    return 0.5 * (FREEDOM + 4) * torch.log1p(m2 / FREEDOM) - 0.5 * torch.logdet(information), m2


@torch.no_grad()
def figures(net, charts, ids, random, rounds=3):
    """Of held-out frames begun some degrees off, read `rounds` times."""
    net.eval()
    unit = torch.tensor(UNIT, device=charts.device)
    rows = []
    for begin in range(0, len(ids), 16):
        some = ids[begin:begin + 16]
        truth = charts.truth(some)
        right = torch.cat([truth["lean"], truth["offset"]], 1)
        stand = disturbed(truth, random)
        first = stand.clone()
        for _ in range(rounds):
            information, vector, logits = said(net(network_input(*unroll(charts, some, truth, stand))))
            step = torch.linalg.solve(information, vector) * unit
            stand = stand + step
        off = (right - stand) / unit
        m2 = torch.einsum("bi,bij,bj->b", off, information, off)
        spread = torch.linalg.inv(information)
        weld = weld_row(truth["distance"])
        said_row = logits.argmax(1)
        hit = torch.where(weld >= 0, (said_row - weld).abs() < 2, said_row == WELD_ROWS)
        rows.append(torch.stack([(right - stand)[:, :2].norm(dim=1) / DEG, (right - stand)[:, 2:].norm(dim=1), m2,
                                 (spread[:, 0, 0] + spread[:, 1, 1]).sqrt() * UNIT[0] / DEG, (right - first)[:, :2].norm(dim=1) / DEG, hit.float()], 1))
    net.train()
    r = torch.cat(rows).cpu().numpy()
    found = (r[:, 0] < 1) & (r[:, 1] < 0.03)
    twice = (r[:, 0] < 2) & (r[:, 1] < 0.06)
    sure = r[:, 3] < np.median(r[:, 3])
    return ("begun %.2f deg off; tilt p50 %.2f p90 %.2f, offset %.4f %.4f, found %.0f %%, within twice %.0f %%; inside 95 %%: %.0f %%, u p50 %.2f; surer half: "
            "found %.0f %%, within twice %.1f %%; weld's row %.0f %%" %
            (np.median(r[:, 4]), np.median(r[:, 0]), np.percentile(r[:, 0], 90), np.median(r[:, 1]), np.percentile(r[:, 1], 90), 100 * found.mean(),
             100 * twice.mean(), 100 * (r[:, 2] < 9.49).mean(), np.median(r[:, 3]), 100 * found[sure].mean(), 100 * twice[sure].mean(), 100 * r[:, 5].mean()))


def main():
    a = usual_arguments(iterations=20000, batch=32, check_every=1000, held=256, width=32).parse_args()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(a.seed)
    torch.backends.cudnn.benchmark = True
    random = torch.Generator(device=device)
    random.manual_seed(a.seed)
    order = np.random.default_rng(a.seed)
    charts = Charts(a.samples, device)
    began = time.time()
    while True:
        charts.take_in()
        if charts.train and charts.held and len(charts.charts) >= a.arriving:
            break
        if not a.arriving:
            sys.exit("train_stand: %s holds no samples of held-out scenes." % a.samples)
        time.sleep(2)
    net = StandNet.kept_in(a.begin) if a.begin else StandNet(a.width)
    net = net.to(device).to(memory_format=torch.channels_last).train()
    mean = RunningMean(net)
    work = torch.optim.AdamW(net.parameters(), lr=a.rate, weight_decay=0.02)
    unit = torch.tensor(UNIT, device=device)
    print("charts", len(charts.train), "held", len(charts.held), "weights", sum(p.numel() for p in net.parameters()), flush=True)

    def look(ids):
        fixed = torch.Generator(device=device)
        fixed.manual_seed(5)
        return figures(net, charts, ids, fixed)

    step, recent = 0, {}
    while True:
        done = max(step / a.iterations, (time.time() - began) / a.budget if a.budget else 0)
        if done >= 1:
            break
        if a.arriving and step % 10 == 0:
            charts.take_in(64)
        for group in work.param_groups:
            group["lr"] = rate_now(a.rate, step, 200, done)
        ids = np.asarray(charts.train)[order.integers(0, len(charts.train), a.batch)]
        with torch.no_grad():
            truth = charts.truth(ids)
            stand = disturbed(truth, random)
            values, seen = unroll(charts, ids, truth, stand)
            values, seen = strange(values, seen, random)
            change = (torch.cat([truth["lean"], truth["offset"]], 1) - stand) / unit
            values, seen, change = mirrored(values, seen, change, random)
            x = network_input(values, seen).contiguous(memory_format=torch.channels_last)
        with torch.autocast(device, dtype=torch.bfloat16, enabled=device == "cuda"):
            y = net(x)
        information, vector, logits = said(y)
        nll, _ = surprise(information, vector, change)
        parts = {"stand": nll.mean(), "weld": weld_loss(logits, weld_row(truth["distance"]))}
        work.zero_grad(set_to_none=True)
        (parts["stand"] + 0.5 * parts["weld"]).backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        work.step()
        step += 1
        mean.follow(net, step)
        if step % 20 == 0:
            for k, v in parts.items():
                recent[k] = 0.9 * recent.get(k, v.item()) + 0.1 * v.item()
        if step % a.check_every == 0 or step == 100:
            print("%d %.0f s, %d charts," % (step, time.time() - began, len(charts.train)), " ".join("%s %.3f" % p for p in recent.items()),
                  mean.judged(net, lambda: look(charts.held[:a.held])), flush=True)
            mean.write(a.out)
    print("end:", step, "steps %.0f s;" % (time.time() - began), mean.judged(net, lambda: look(charts.held)), flush=True)
    mean.write(a.out)


if __name__ == "__main__":
    main()
