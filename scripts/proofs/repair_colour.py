"""Heat tint and wrinkled scale: known films and scale of our own scene maker, photographed and computed oxide colours,
and false calls on independent renders, which have tint but no scale."""
import json
import os
import re

import ledger as tools

SEEDS = range(1, 9)


def tint(book, programs):
    code, said, _ = tools.run([programs.path("tint_test")])
    book.says("shades by computed films (Airy), photographed oxide colours, painted charts", code == 0, "exit %d" % code,
              "exit 0")
    code, said, _ = tools.run([programs.path("tint_scene_test"), "--gtest_filter=*Tint*:*BareMetal*:*White*"])
    book.says("known films through the whole pipeline; no white target, no colour", code == 0, "exit %d" % code, "exit 0")
    found = [[float(n) for n in run] for run in re.findall(r"reach ([\d.]+) u ([\d.]+) true ([\d.]+)", said)]
    book.at_least("runs with a reach, of four welds", len(found), 8)
    if found:
        book.at_most("reach against the film's own, worst", round(max(abs(r - t) for r, _, t in found), 2), 2.0, "mm")
        book.says("reaches inside 2u", all(abs(r - t) <= 2 * u for r, u, t in found), str(len(found)), "all")


def scales(programs, scene, recording, out):
    code, said, _ = tools.run([programs.path("rootscroll"), "measure", os.path.join(scene, "joint.json"), "--recording",
                               recording, "--out", out, "--quiet"])
    path = os.path.join(out, "reading.json")
    if not os.path.exists(path):
        print("   ", scene, "not measured:", said.strip()[-200:])
        return None
    return [i for i in json.load(open(path))["indications"] if i["kind"] == "scale"]


def inside(arc, theta_deg):
    return (theta_deg - arc["start_deg"]) % 360 <= (arc["end_deg"] - arc["start_deg"]) % 360


def true_scales(book, programs, work):
    arcs = found = besides = 0
    for seed in SEEDS:
        scene = os.path.join(work, "scale_%d" % seed)
        code, _, _ = tools.run([programs.path("make_scene"), scene, "--kind", "scale", "--seed", str(seed)])
        seen = scales(programs, scene, "root", scene + "_out") if code == 0 else None
        if seen is None:
            continue
        truth = json.load(open(os.path.join(scene, "truth.json")))["features"]["scales"]
        arcs += len(truth)
        on = [[s for s in seen if (s["z_mm"] < 0) == (t["side"] == "left") and inside(t, s["theta_deg"])] for t in truth]
        found += sum(1 for each in on if each)
        besides += len(seen) - sum(len(each) for each in on)
    book.at_least("arcs of scale looked for", arcs, 2 * len(SEEDS))
    book.at_least("of these found", found, 2 * len(SEEDS))
    book.at_most("scale said where there is none, same welds", besides, 0)


def false_calls(book, programs, work):
    root = os.path.join(tools.SHARED, "scenes")
    if not os.path.isdir(root):
        return book.skip("false calls on independent renders", "../shared/scenes is not here")
    looks = calls = 0
    for folder, _, files in sorted(os.walk(root)):
        if "joint.json" not in files:
            continue
        recording = json.load(open(os.path.join(folder, "joint.json")))["recordings"][0]["id"]
        seen = scales(programs, folder, recording, os.path.join(work, "none", os.path.relpath(folder, root)))
        if seen is not None:
            looks, calls = looks + 1, calls + len(seen)
    book.at_least("independent renders measured", looks, 15)
    book.at_most("scale said on them (none has any)", calls, 0)


def prove_colour(book, programs, work):
    """@param programs must hold rootscroll, make_scene, tint_test and tint_scene_test."""
    book.heading("Heat tint and wrinkled scale (own floors)")
    tint(book, programs)
    true_scales(book, programs, work)
    false_calls(book, programs, work)
