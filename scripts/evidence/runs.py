"""Runs of unfused lines on the closed ring: vision/reading/edges.h once more, and how they are counted."""
import math

import numpy as np

SHORTEST_MM, BESIDE_MM, COUNTED_MM = 2.0, 2.0, 3.0


def stretches(where):
    """Index arrays of what hangs together on the ring."""
    if where.all():
        return [np.arange(len(where))]
    first = int(np.flatnonzero(~where)[0])
    at = np.flatnonzero(np.roll(where, -first))
    return [(part + first) % len(where) for part in np.split(at, np.flatnonzero(np.diff(at) > 1) + 1)] if len(at) else []


def line_mm(radius_mm, lines):
    return 2 * math.pi * radius_mm / lines


def grown(chance, radius_mm, above, goes_on_above):
    """Lines called unfused: stretches above the lower level that hold the shortest run above the upper one."""
    out = np.zeros(len(chance), bool)
    for part in stretches(chance > min(goes_on_above, above)):
        if (chance[part] > above).sum() * line_mm(radius_mm, len(chance)) >= SHORTEST_MM:
            out[part] = True
    return out


def found_runs(called, true, radius_mm):
    """How many of the runs long enough to count have half of their lines called; how many there are."""
    parts = [part for part in stretches(true) if len(part) * line_mm(radius_mm, len(true)) >= COUNTED_MM]
    return sum(called[part].mean() >= 0.5 for part in parts), len(parts)


def false_runs(called, true, radius_mm):
    """Runs called beside no true one, and degrees called farther than 2 mm from any."""
    reach = math.ceil(BESIDE_MM / line_mm(radius_mm, len(true)))
    near = np.any([np.roll(true, k) for k in range(-reach, reach + 1)], 0)
    return sum(not near[part].any() for part in stretches(called)), (called & ~near).sum() * 360 / len(true)
