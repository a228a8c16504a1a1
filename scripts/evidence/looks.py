"""Looks that no maker drew: other light, tone, colour, sharpness, noise, things before the wall, glare."""
import math

import torch
import torch.nn.functional as F

from .samples import COLUMNS, WINDOW

COVERED = 1  # MapFlag of fixtures/training/sample.h


def _between(random, like, n, low=0.0, high=1.0, shape=(1, 1, 1)):
    return torch.rand((n,) + shape, generator=random, device=like.device) * (high - low) + low


def _field(random, like, n, channels, rows, columns):
    noise = torch.randn((n, channels, rows, columns), generator=random, device=like.device)
    return F.interpolate(noise, size=(WINDOW, COLUMNS), mode="bilinear", align_corners=False)


def _cover(b, where):
    """Marks cells (full size) as covered and takes the toes under them out of sight."""
    low = where[:, ::2, ::2]
    b["map"] = torch.where(low, b["map"] | COVERED, b["map"])
    row = ((b["z"] + 12.75) / 0.2).round().long().clamp(0, WINDOW // 2 - 1)
    hidden = torch.gather(low, 1, row)
    for side in range(2):
        b["lines"] = torch.where(hidden[:, side], b["lines"] & (255 - (1 << side)), b["lines"])


def _things(b, random, share=0.25):
    """Bars across the strip, straight or bent, plain, shaded or ribbed."""
    image, n = b["image"], len(b["image"])
    draw = lambda low, high: _between(random, image, n, low, high)
    z = torch.linspace(-1, 1, WINDOW, device=image.device).view(1, 1, WINDOW, 1)
    theta = torch.arange(COLUMNS, device=image.device).view(1, 1, 1, COLUMNS) * (2 * math.pi / COLUMNS)
    for _ in range(2):
        on = draw(0, 1) < share
        middle = draw(-math.pi, math.pi) + z * draw(-0.8, 0.8) + z * z * draw(-0.3, 0.3)
        half = draw(0.03, 0.3) * (1 + draw(-0.3, 0.3) * z)
        across = (torch.remainder(theta - middle + math.pi, 2 * math.pi) - math.pi) / half
        inside = (across.abs() < 1) & on
        if torch.rand(1, generator=random, device=image.device) < 0.3:
            end = draw(-1, 1)
            inside = inside & ((z < end) if torch.rand(1, generator=random, device=image.device) < 0.5 else (z > end))
        colour = _between(random, image, n, 0, 1, (3, 1, 1)) * draw(0.03, 1.1)
        colour = torch.where(draw(0, 1) < 0.6, colour.mean(1, keepdim=True).expand_as(colour), colour)
        shade = (1 - (across - draw(-0.7, 0.7)) ** 2 * draw(0.05, 0.6)).clamp(0, 1.2)
        ribs = 1 + draw(0, 0.5) * torch.sin(z * draw(5, 150) + across * draw(-6, 6)) * (draw(0, 1) < 0.5)
        bar = colour * shade * ribs * (1 + 0.1 * _field(random, image, n, 1, 32, 180))
        image = torch.where(inside, bar.clamp(0, 1), image)
        _cover(b, inside[:, 0] & (b["seen"] > 0))
    b["image"] = image


def _glare(b, random):
    """Soft blown-out places."""
    image, n = b["image"], len(b["image"])
    draw = lambda low, high: _between(random, image, n, low, high)
    on = (draw(0, 1) < 0.15).float()
    z = torch.linspace(-1, 1, WINDOW, device=image.device).view(1, 1, WINDOW, 1)
    theta = torch.arange(COLUMNS, device=image.device).view(1, 1, 1, COLUMNS) * (2 * math.pi / COLUMNS)
    away = torch.remainder(theta - draw(-math.pi, math.pi) + math.pi, 2 * math.pi) - math.pi
    spot = torch.exp(-((away / draw(0.03, 0.5)) ** 2 + ((z - draw(-1, 1)) / draw(0.1, 0.8)) ** 2)) * draw(0.5, 4) * on
    b["image"] = (image + spot * _between(random, image, n, 0.8, 1, (3, 1, 1))).clamp(0, 1)
    _cover(b, (spot[:, 0] > 1) & (b["image"].amin(1) > 0.97) & (b["seen"] > 0))


def _means_of(image, use):
    """Of each column over rows `use`, even round the ring over 15 degrees; nan-free: 0.02 where nothing is in use."""
    weight, total = use.float().sum(2), (image * use).sum(2)
    even = lambda v: F.avg_pool1d(torch.cat([v[..., -30:], v, v[..., :30]], -1), 61, 1)
    return (even(total) / even(weight).clamp(min=1e-3)).clamp(min=0.02)


def _flanks(b, random, share=0.3):
    """The bead's flanks as bright as the wall beside them, or nearly: what tells a toe then is no step of brightness."""
    image, n = b["image"], len(b["image"])
    draw = lambda low, high: _between(random, image, n, low, high)
    z = (torch.arange(WINDOW, device=image.device) - WINDOW // 2).view(1, 1, WINDOW, 1) * 0.1
    toe = b["z"].repeat_interleave(2, 2)[:, :, None]
    near, far, there = toe[:, :1], toe[:, 1:], (toe.abs() < 12.5).all(1, keepdim=True)
    pixel, seen = b["log_resolution"].exp()[:, None], (b["seen"] > 0)[:, None]
    half, gain = 0.5 * (far - near), 0
    for edge, out in ((near, -1), (far, 1)):
        inward = out * (edge - z)  # mm from the toe into the bead
        flank = _means_of(image, seen & there & (inward > 0.2) & (inward < half))
        wall = _means_of(image, seen & there & (inward < -0.3) & (inward > -2.5))
        ratio = (wall / flank).log().clamp(-1.5, 1.5)
        ratio = torch.where(draw(0, 1)[..., 0] < 0.5, ratio, ratio.mean(1, keepdim=True))[:, :, None]
        deep = half * draw(0.2, 1.3)
        inner = torch.sigmoid((deep - inward) / (0.15 * half.clamp(min=0.5)))
        toeward = torch.sigmoid(inward / (0.35 * pixel).clamp(min=0.05))
        on = (draw(0, 1) < share).float() * there
        gain = gain + on * draw(0.3, 1.1) * ratio * inner * toeward
    b["image"] = (image * gain.exp()).clamp(0, 1)


def _sharpness(b, random):
    if torch.rand(1, generator=random, device=b["image"].device) < 0.5:
        return
    pick = lambda choices: choices[int(torch.randint(0, len(choices), (1,), generator=random, device=b["image"].device))]
    down, across = pick((1.5, 2, 3, 4)), pick((1, 1.5, 2, 3))
    small = F.interpolate(b["image"], scale_factor=(1 / down, 1 / across), mode="area", recompute_scale_factor=True)
    b["image"] = F.interpolate(small, size=(WINDOW, COLUMNS), mode="bilinear", align_corners=False)
    b["log_resolution"] = torch.maximum(b["log_resolution"], torch.full_like(b["log_resolution"], math.log(0.08 * down)))


def _light(b, random):
    image, n = b["image"], len(b["image"])
    draw = lambda low, high, shape=(1, 1, 1): _between(random, image, n, low, high, shape)
    linear = image.clamp(min=1e-3) ** 2.2
    theta = torch.arange(COLUMNS, device=image.device).view(1, 1, 1, COLUMNS) * (2 * math.pi / COLUMNS)
    waves = torch.randint(1, 5, (n, 1, 1, 1), generator=random, device=image.device)
    around = torch.cos(theta * waves + draw(-math.pi, math.pi)) * draw(0, 0.9)
    along = torch.linspace(-1, 1, WINDOW, device=image.device).view(1, 1, WINDOW, 1) * draw(-0.5, 0.5)
    patches = _field(random, image, n, 1, 4, 24) * draw(0, 0.25)
    linear = linear * 2 ** (around + along + patches + draw(-1.2, 0.9) + torch.randn((n, 3, 1, 1), generator=random, device=image.device) * 0.15)
    linear = linear + draw(0, 0.07) * (draw(0, 1) < 0.3)
    grey = linear.mean(1, keepdim=True)
    linear = (grey + (linear - grey) * torch.where(draw(0, 1) < 0.15, torch.zeros_like(grey[:, :, :1, :1]), draw(0.3, 1.7))).clamp(1e-5, 1)
    shown = linear ** (2 ** draw(-0.4, 0.4) / 2.2)
    shown = shown + draw(-0.5, 0.7) * (shown * shown * (3 - 2 * shown) - shown)  # an S-curve, or its contrary
    b["image"] = shown.clamp(0, 1)


def _noise(b, random):
    image, n = b["image"], len(b["image"])
    amount = _between(random, image, n) ** 2 * 0.05
    fine = torch.randn(image.shape, generator=random, device=image.device)
    coarse = _field(random, image, n, 3, WINDOW // 3, COLUMNS // 2)
    b["image"] = (image + amount * (0.5 * fine + coarse)).clamp(0, 1)


def make_strange(b, random, share=1.0):
    """Changes `b`; of light and noise only this share of the samples is changed."""
    _flanks(b, random)
    _things(b, random)
    _glare(b, random)
    _sharpness(b, random)
    as_drawn = b["image"]
    _light(b, random)
    _noise(b, random)
    strange = _between(random, as_drawn, len(as_drawn)) < share
    b["image"] = torch.where(strange, b["image"], as_drawn) * b["seen"][:, None]
    return b
