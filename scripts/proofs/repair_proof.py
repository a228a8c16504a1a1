"""From a film indication to a proven blend: worked examples, the demo's plan, welds before and after grinding."""
import json
import os
import re
import tempfile

import ledger as tools
from pairs import compare, measure
from repair_colour import prove_colour
from repair_light import prove_light

PAIRS = ("pair_00_undercut", "pair_01_pores", "pair_02_untouched")


def worked_examples(book, programs):
    book.heading("Worked examples: minimum wall, remaining wall, film stations, blend (tests/repair)")
    code, said, _ = tools.run([programs.path("repair_test")])
    passed = re.search(r"\[  PASSED  \] (\d+) tests?", said)
    count = int(passed.group(1)) if passed else 0
    book.says("tests of the worked examples", code == 0 and count >= 10, "%d passed, exit %d" % (count, code),
              "10 and more pass, none fails")


def demo_plan(book, programs, work):
    book.heading("The demo's blend plan: the wall allows it, the criterion does not")
    demo = os.path.join(tools.ROOT, "fixtures", "demo")
    out = os.path.join(work, "plan")
    code, said, _ = tools.run([programs.path("rootscroll"), "blend", os.path.join(demo, "repair.json"), "--joint",
                               os.path.join(demo, "joint.json"), "--out", out])
    book.says("exit code of blend", code == 1, str(code), "1: a rule is beyond its limit")
    book.says("caution beside the plan", "never replaces" in said, str("never replaces" in said), "said")
    path = os.path.join(out, "repair_plan.json")
    if not os.path.exists(path):
        return book.says("repair_plan.json", False, said.strip()[-200:], "written")
    plan = json.load(open(path))
    wall, depth = (plan[key].get("answer") for key in ("remaining_wall", "depth_limit"))
    book.says("by the wall", wall == "go", str(wall), "go")
    book.says("by the depth", depth == "no-go", str(depth), "no-go")
    for name in ("card.pdf", "card.html"):
        there = os.path.exists(os.path.join(out, name))
        book.says(name, there, str(there), "written")


def indications(truth):
    """Places and lengths of what a film would have shown, from the truth: pores, the undercut's middle and whole."""
    f, radius = truth["features"], truth["R"]
    places = [("pore", p["theta_deg"], p["z_mm"], 0) for p in f["pores"]]
    for u in f["undercuts"]:
        middle = (u["start_deg"] + u["end_deg"]) / 2
        edge = truth["profile"]["edge_%s_z" % u["side"]][int(round(middle * 2)) % 720]
        z = edge + (0.3 if u["side"] == "right" else -0.3) * u["width_mm"]
        places.append(("undercut", middle, z, (u["end_deg"] - u["start_deg"]) % 360 * radius * 0.017453293))
    return places


def wanted_fate(truth, kind, theta, z, length, margin=0.5):
    """gone | partly_gone | remains by the true pockets; None where the rim passes so near that either is right."""
    arc = truth["R"] * 0.017453293
    gone = rest = 0
    for k in range(max(1, int(length))):
        at = theta + (length * ((k + 0.5) / max(1, int(length)) - 0.5)) / arc
        inside = 9.0
        for p in truth["features"]["pockets"]:
            along = ((at - p["theta_deg"] + 180) % 360 - 180) * arc
            inside = min(inside, ((2 * along / p["circ_mm"]) ** 2 + (2 * (z - p["z_mm"]) / p["axial_mm"]) ** 2) ** 0.5)
            if kind == "pore" and abs(1 - inside) * min(p["circ_mm"], p["axial_mm"]) / 2 < margin:
                return None
        gone, rest = gone + (inside < 1), rest + (inside >= 1)
    return "partly_gone" if gone and rest else "gone" if gone else "remains"


def judge_pair(book, name, change, truth, places):
    pockets = truth["features"]["pockets"]
    if not pockets:
        book.at_most("removed on an untouched pair, " + name, len(change["pockets"]), 0)
    else:
        book.says("pockets, " + name, len(change["pockets"]) == len(pockets), str(len(change["pockets"])),
                  str(len(pockets)))
    for got, want in zip(change["pockets"], pockets):
        for key in ("circ_mm", "axial_mm"):
            book.at_most("footprint, %s, %s (%.2f of %.2f)" % (key[:-3], name, got[key], want[key]),
                         round(abs(got[key] - want[key]), 3), 0.5, "mm")
            off, u2 = abs(got[key] - want[key]), 2 * got[key.replace("_mm", "_u_mm")]
            book.says("its error inside the stated 2u", off <= u2, "%.2f of %.2f mm" % (off, u2), "inside")
        off = abs((got["theta_deg"] - want["theta_deg"] + 180) % 360 - 180) * truth["R"] * 0.017453293
        book.figure("middle off along the arc, " + name, "%.2f mm" % off)
        for key in ("floor_below_wall", "greatest_removal"):
            book.says("%s from one picture, %s" % (key.replace("_", " "), name),
                      got[key]["mm"] is None and "not measurable" in got[key]["why"], str(got[key]["mm"]),
                      "not measurable")
    book.figure("changed spots outside, " + name, str(len(change["marks"])))
    given = [f for f in change["followed"] if f["what"] == "given place"]
    for (kind, theta, z, length), got in zip(places, given):
        want = wanted_fate(truth, kind, theta, z, length)
        if want is None:
            book.figure("%s at %.0f degrees on the rim, %s" % (kind, theta, name), got["fate"])
        else:
            book.says("%s at %.0f degrees, %s" % (kind, theta, name), got["fate"] == want, got["fate"], want)


def pair(book, programs, name, folder, work):
    outs = {}
    for when in ("before", "after"):
        outs[when] = os.path.join(work, name, when)
        trouble = measure(programs, os.path.join(folder, when), outs[when])
        if trouble:
            return book.says("measured, %s %s" % (name, when), False, trouble, "a reading")
    before, after = (json.load(open(os.path.join(folder, w, "truth.json"))) for w in ("before", "after"))
    places = indications(before)
    change, trouble = compare(programs, outs["before"], outs["after"], os.path.join(folder, "before", "joint.json"),
                              [p[1:] for p in places])
    if trouble:
        return book.says("compared, " + name, False, trouble, "a comparison")
    judge_pair(book, name, change, after, places)


def shared_pairs(book, programs, work):
    book.heading("Independently rendered welds before and after (../shared/scenes)")
    folder = os.path.join(tools.SHARED, "scenes")
    if not os.path.isdir(os.path.join(folder, PAIRS[0])):
        return book.skip("pairs", "../shared/scenes is not here")
    for name in PAIRS:
        pair(book, programs, name, os.path.join(folder, name), work)
    outs = [os.path.join(work, n, w) for n, w in ((PAIRS[0], "before"), (PAIRS[1], "after"))]
    code, said, _ = tools.run([programs.path("rootscroll"), "compare"] + outs +
                              ["--joint", os.path.join(folder, PAIRS[0], "before", "joint.json")])
    book.says("another joint is refused", code != 0 and "joint" in said, "exit %d" % code, "refused, with the reason")


def depths(book, programs):
    book.heading("Depth where both recordings carry heights (folders painted by formula, through the command)")
    for program, tests in (("match_test", "DepthsOf.*"), ("cli_test", "Compare.*")):
        code, said, _ = tools.run([programs.path(program), "--gtest_filter=" + tests])
        book.says("%s %s" % (program, tests), code == 0 and "[  PASSED  ]" in said, "exit %d" % code, "exit 0")


def own_pairs(book, programs, work):
    book.heading("Our own welds before and after (make_scene), another camera place and roll")
    for kind, seed, ground in (("pores", 3, True), ("undercut", 5, True), ("fused", 7, True), ("fused", 8, False)):
        name = "%s_%d%s" % (kind, seed, "" if ground else "_untouched")
        folder = os.path.join(work, "own", name)
        for when, words in (("before", []), ("after", ["--look", "1"] + (["--ground"] if ground else []))):
            code, said, _ = tools.run([programs.path("make_scene"), os.path.join(folder, when), "--kind", kind, "--seed",
                                       str(seed)] + words)
            if code:
                book.says("made, " + name, False, said[-200:], "a scene")
        pair(book, programs, name, folder, work)


def prove():
    with tempfile.TemporaryDirectory(prefix="prove-") as work:
        programs = tools.Programs(["rootscroll", "make_scene", "repair_test", "match_test", "cli_test", "tint_test",
                                   "tint_scene_test"], os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        book = tools.Ledger()
        worked_examples(book, programs)
        demo_plan(book, programs, work)
        depths(book, programs)
        own_pairs(book, programs, work)
        shared_pairs(book, programs, work)
        prove_light(book, programs, work)
        prove_colour(book, programs, os.path.join(work, "colour"))
    print("\nNot proved here: the card, the drawings and the picture of the change are for eyes. All of it supports and "
          "never replaces the qualified examiner, the contract's code edition and local rules.")
    return book.close()
