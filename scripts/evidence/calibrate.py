"""From what the network said of held-out scenes to how far it is to be believed."""
import numpy as np

from .goals import MAPS

FLOOR_MM = 0.03  # the truth's own: cells of 0.1 mm, read between
MAY_BE_FALSE = 0.002  # share of fused lines that may be called unfused
FUSED_SURER = 0.1  # of the level that follows: on another renderer an unfused run was given a chance of 0.0003 that it is one
EDGE_HIDDEN = 0.5  # more likely in sight than not
MAY_BE_CALLED_FUSED = 0.002  # share of unfused lines that may be called fused
UNFUSED_GOES_ON = 0.3  # of fit_along_ring.py (table in DEVELOPERS.md)
COVERED_ABOVE = 0.2  # of whole frames (covered_known, DEVELOPERS.md): what is missed here is examined by mistake
NEAR_HIDDEN_TOLD = 0.05  # share of hidden near toes that may be stated, on scenes drawn harder than any shop's
FAR_STATED_BELOW = 0.75  # chance to be hidden (table in DEVELOPERS.md); what it lets by goes into u (StatingOptions::hidden_far_mm)


def spread_scale(error, spread):
    """The factor with which 95.45 % of the errors lie within two spreads; never below 1: looks unlike those of the makers are to
    raise doubt."""
    if len(error) < 50:
        return 2.0
    low, high = 1.0, 6.0
    for _ in range(40):
        k = 0.5 * (low + high)
        inside = np.mean(np.abs(error) < 2 * np.hypot(k * spread, FLOOR_MM))
        low, high = (low, k) if inside >= 0.9545 else (k, high)
    return round(float(0.5 * (low + high)), 3)


def told(r, side):
    """Errors, spreads and pixels (mm) of the toes that may be stated."""
    use = r["sight"][:, side] & r["usable"][:, side] & (r["hidden"][:, side] < 0.5) & (r["spread"][:, side] < 1.0)
    return r["error"][:, side][use], r["spread"][:, side][use], r["pixel"][:, side][use]


def toe_scale(r, side):
    return spread_scale(*told(r, side)[:2])


def toe_floor_px(r, side):
    """The share of a pixel with which 95.45 % hold among the third of the lines whose pixels are coarsest as well: pooled, those of
    fine pictures hide that they do not."""
    error, spread, pixel = told(r, side)
    if len(error) < 50:
        return 0.2
    coarse = pixel >= np.quantile(pixel, 2 / 3)
    error, spread, pixel = np.abs(error[coarse]), toe_scale(r, side) * spread[coarse], pixel[coarse]
    for share in np.arange(0, 0.5, 0.01):
        if np.mean(error < 2 * np.sqrt(spread**2 + FLOOR_MM**2 + (share * pixel) ** 2)) >= 0.9545:
            break
    return round(float(share), 2)


def near_stated_below(r):
    bare = ~r["sight"].any((1, 2))  # bores without a weld: told apart by how few lines are stated
    blind = ~r["sight"][:, 0] & r["usable"][:, 0] & ~bare[:, None]
    level = np.quantile(r["hidden"][:, 0][blind], NEAR_HIDDEN_TOLD) if blind.any() else 0.5
    return round(float(np.clip(level, 0.05, 0.5)), 3)


def ring_errors(r, side):
    """Of each sample the mean error over its spread, positive outward; nan where the toe shows on a few lines only."""
    use = r["sight"][:, side] & r["usable"][:, side] & (r["hidden"][:, side] < 0.5) & (r["spread"][:, side] < 0.6)
    over = np.where(use, r["error"][:, side] / np.hypot(r["spread"][:, side], FLOOR_MM), 0).sum(1)
    mean = np.clip(over / np.maximum(1, use.sum(1)), -3, 3)
    return np.where(use.sum(1) > 150, mean if side == 1 else -mean, np.nan)


def err_alike(r, ids):
    """Correlation of two toes' ring errors: near toes of one weld in different frames, near and far toe of one sample. `ids` as Samples.ids.
    Two of one near toe stand for those of both sides, of which few lie among the samples. What vision/reading/combine.h adds widths by."""
    near, far = ring_errors(r, 0), ring_errors(r, 1)
    both = ~np.isnan(near) & ~np.isnan(far)
    frames = {}
    for k, (scene, frame) in enumerate(zip(*np.asarray(ids)[:, :2].T)):
        if not np.isnan(near[k]):
            frames.setdefault(scene, {}).setdefault(frame, near[k])
    pairs = np.array([list(f.values())[:2] for f in frames.values() if len(f) > 1]).reshape(-1, 2)
    told = {"near_and_far": (near[both], far[both]), "both_near": (pairs[:, 0], pairs[:, 1])}
    return {k: round(float(np.corrcoef(*v)[0, 1]), 2) if len(v[0]) > 30 else None for k, v in told.items()}


def unfused_levels(r):
    use = r["sight"][:, 0] & r["plain"] & (r["hidden"][:, 0] < EDGE_HIDDEN)
    chance, true = r["unfused"][use], r["is_unfused"][use]
    called = float(np.quantile(chance[~true], 1 - MAY_BE_FALSE)) if (~true).any() else 0.9
    fused = FUSED_SURER * float(np.quantile(chance[true], MAY_BE_CALLED_FUSED)) if true.any() else 0.00011
    bins = np.clip((chance * 10).astype(int), 0, 9)
    reliability = [[round(float(chance[bins == k].mean()), 4), round(float(true[bins == k].mean()), 4), int((bins == k).sum())] if (bins == k).any() else [0, 0, 0] for k in range(10)]
    return round(float(np.clip(called, 0.5, 0.95)), 3), round(fused, 5), reliability


def map_level(counts):
    """The chance of a cell above which half of what is called is there, or better, with the most found."""
    hit, false = counts.sum(0)
    best, level = 0.0, 0.5
    for k in range(2, 20):
        found, right = hit[k:].sum() / max(1, hit.sum()), hit[k:].sum() / max(1, (hit[k:] + false[k:]).sum())
        score = 2 * found * right / max(1e-9, found + right)
        if score > best:
            best, level = score, k / 20
    return level


def calibrate(r):
    called, fused, reliability = unfused_levels(r)
    return {"spread_scale": {"near": toe_scale(r, 0), "far": toe_scale(r, 1)}, "spread_floor_mm": FLOOR_MM, "spread_floor_px": {"near": toe_floor_px(r, 0), "far": toe_floor_px(r, 1)},
            "stated_below_hidden": {"near": near_stated_below(r), "far": FAR_STATED_BELOW}, "edge_hidden_below": EDGE_HIDDEN, "unfused_above": called, "unfused_goes_on_above": min(called, UNFUSED_GOES_ON), "fused_below": fused,
            "unfused_reliability": reliability, "map_above": {name: COVERED_ABOVE if name == "covered" else map_level(r["map_" + name]) for name, _, _ in MAPS}}


def not_looser(now, before):
    """`now` of a small sample, but nowhere with less doubt than `before`, which more samples told."""
    side = lambda key, choose: {k: choose(now[key][k], before[key][k]) for k in now[key]}
    stricter = {"spread_scale": side("spread_scale", max), "spread_floor_px": side("spread_floor_px", max),
                "stated_below_hidden": side("stated_below_hidden", min), "unfused_above": max(now["unfused_above"], before["unfused_above"]),
                "fused_below": min(now["fused_below"], before["fused_below"]),
                "map_above": {k: v if k == "covered" else max(v, before["map_above"][k]) for k, v in now["map_above"].items()}}
    return {**now, **stricter}
