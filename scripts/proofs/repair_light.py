"""Pockets ground into our own made-up welds, swept by a plane of light before and after: depth and slope."""
import hashlib
import json
import os

import ledger as tools
from pairs import compare, measure

SEEDS = (11, 12, 13)
SWEEP = ["--frames", "41", "--reach", "13"]  # both looks far enough to see bare wall beside the pocket


def made(book, programs, folder, seed, ground):
    """Renders one look; a finished one of the same program is used again (build/repair_light is ours alone)."""
    with open(programs.path("make_scene"), "rb") as program:
        stamp = "%s %s %d" % (hashlib.sha256(program.read()).hexdigest(), SWEEP, ground)
    mark = os.path.join(folder, "made_by")
    if os.path.exists(mark) and open(mark).read() == stamp:
        return True
    words = ["--kind", "light_section", "--seed", str(seed)] + SWEEP
    code, said, _ = tools.run([programs.path("make_scene"), folder] + words + (["--ground", "--look", "1"] if ground
                                                                              else []))
    if code:
        book.says("made, " + folder, False, said[-200:], "a scene")
        return False
    with open(mark, "w") as out:
        out.write(stamp)
    return True


def stated(book, name, value, truth, floor, unit, key, u_key):
    if value is None or value[key] is None:
        return book.says(name, False, "none: %s" % (value or {}).get("why", "no such key"), "<= %g %s" % (floor, unit))
    off = abs(value[key] - truth)
    book.at_most("%s (%.2f of %.2f)" % (name, value[key], truth), round(off, 3), floor, unit)
    book.says("its error inside the stated 2u", off <= 2 * value[u_key], "%.3f of %.3f %s" % (off, 2 * value[u_key],
                                                                                              unit), "inside")


def light_pair(book, programs, seed, root, work):
    name = "light_section_%d" % seed
    outs = {}
    for when in ("before", "after"):
        folder = os.path.join(root, name, when)
        if not made(book, programs, folder, seed, when == "after"):
            return
        outs[when] = os.path.join(work, name, when)
        trouble = measure(programs, folder, outs[when])
        if trouble:
            return book.says("measured, %s %s" % (name, when), False, trouble, "a reading")
    before, after = (os.path.join(root, name, when) for when in ("before", "after"))
    change, trouble = compare(programs, outs["before"], outs["after"], os.path.join(before, "joint.json"), [])
    if trouble:
        return book.says("compared, " + name, False, trouble, "a comparison")
    truth = json.load(open(os.path.join(after, "truth.json")))["features"]["pockets"]
    book.says("pockets, " + name, len(change["pockets"]) == 1, str(len(change["pockets"])), "1")
    for got, want in zip(change["pockets"], truth):
        stated(book, "depth below the wall, " + name, got["floor_below_wall"], want["depth_mm"], 0.15, "mm", "mm",
               "u_mm")
        for side in ("left", "right"):
            stated(book, "slope, %s flank, %s" % (side, name), got.get("slope_" + side), want["slope_deg"], 2,
                   "degrees", "deg", "u_deg")
        for key in ("circ_mm", "axial_mm"):
            stated(book, "footprint, %s, by %s, %s" % (key[:-3], got["extent_by"], name), got, want[key], 0.5, "mm",
                   key, key.replace("_mm", "_u_mm"))
        removed = got["greatest_removal"]
        book.figure("greatest removal, " + name, "%s mm" % removed["mm"] if removed["mm"] else removed["why"])


def prove_light(book, programs, work):
    """@param programs must hold rootscroll and make_scene."""
    book.heading("Pockets in welds swept by a plane of light (make_scene --kind light_section)")
    root = os.path.join(tools.ROOT, "build", "repair_light")
    for seed in SEEDS:
        light_pair(book, programs, seed, root, work)
