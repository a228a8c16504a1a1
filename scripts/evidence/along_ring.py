"""What the lines beside it tell of a toe: vision/evidence/along_ring.h once more, for calibration."""
import numpy as np

REACH_MM, LEAST = 4.0, 1e-6
WANDER_MM, JUMP, WEIGHT = 0.2, 0.01, 0.1  # chosen by fit_along_ring.py


def steps(bins, bin_mm, wander_mm, jump):
    """Chance of each step between neighbouring lines, from row to column."""
    reach = round(REACH_MM / bin_mm)
    k = np.arange(-reach, reach + 1)
    one = np.exp(-np.abs(k) * bin_mm / wander_mm)
    one = (1 - jump) * one / one.sum() + jump / len(k)
    apart = np.arange(bins)[None] - np.arange(bins)[:, None]
    return _normalised(np.where(np.abs(apart) <= reach, one[np.clip(apart + reach, 0, 2 * reach)], 0).astype(np.float32))  # no way leads out of the strip


def _normalised(chance):
    return chance / np.maximum(chance.sum(-1, keepdims=True), 1e-30)


def _from_one_side(observed, step, lines):
    out, here = np.zeros_like(observed), np.full(observed[:, 0].shape, 1 / observed.shape[-1], np.float32)
    for line in np.concatenate([lines, lines]):
        out[:, line] = _normalised(here @ step)
        here = _normalised(out[:, line] * observed[:, line])
    return out


def along_ring(chance, hidden, bin_mm, wander_mm=WANDER_MM, jump=JUMP, weight=WEIGHT):
    """`chance`: rings x lines x bins, given that the toe is in sight; `hidden`: rings x lines. The same shape as `chance`."""
    bins, lines = chance.shape[-1], np.arange(chance.shape[1])
    observed = ((1 - hidden[..., None]) * chance + hidden[..., None] / bins + LEAST).astype(np.float32) ** weight
    step = steps(bins, bin_mm, wander_mm, jump)
    return _normalised(_from_one_side(observed, step, lines) * _from_one_side(observed, step.T, lines[::-1]) * observed)
