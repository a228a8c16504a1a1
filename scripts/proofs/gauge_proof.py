"""From picture to gauge: the statistics against published answers, our own probability of detection, what one frame must
not say; the light section and the travel have proofs of their own, called when they are there."""
import csv
import importlib
import inspect
import json
import os
import tempfile

import ledger as tools

REFERENCES = os.path.join(tools.ROOT, "fixtures", "references")
POPULATION = os.path.join(tools.ROOT, "fixtures", "population", "result")


def answer(programs, *words):
    """The JSON a command prints; None and its last words when it refuses."""
    code, said, _ = tools.run([programs.path("rootscroll"), "--json"] + list(words))
    try:
        return json.loads(said), ""
    except ValueError:
        return None, "exit %d: %s" % (code, said.strip()[-120:])


def near(book, name, value, published, tolerance):
    """A figure beside the published one."""
    holds = value is not None and abs(value - published) <= tolerance
    book.says(name, holds, "none" if value is None else "%.9g" % value, "%.9g within %g" % (published, tolerance))


def pod_reference(book, programs):
    book.heading("Probability of detection: 60 published hits and misses (fixtures/references/pod)")
    got, trouble = answer(programs, "pod", os.path.join(REFERENCES, "pod", "pod_hitmiss_60.csv"))
    if trouble:
        return book.says("pod", False, trouble, "an answer")
    for key, name, published, tolerance in (
            ("b0", "b0", -11.83265105, 1e-8), ("b1", "b1", 45.30678376, 2e-8), ("ap", "a90", 0.309663906, 1e-9),
            ("ap_bound_likelihood_ratio", "a90/95 by the likelihood ratio", 0.356454, 1e-6),
            ("ap_bound_wald", "a90/95 by Wald", 0.381497, 1e-6)):
        near(book, name, got[key], published, tolerance)
    near(book, "AIC", got["goodness"]["aic"], 28.45673968, 2e-8)


def pod_refusal(book, programs, work):
    path = os.path.join(work, "separated.csv")
    with open(path, "w") as f:
        f.write("size_mm,hit\n" + "".join("%d,%d\n" % (i, i > 20) for i in range(1, 41)))
    code, said, _ = tools.run([programs.path("rootscroll"), "pod", path])
    book.says("data without overlap are refused", code == 2 and "do not overlap" in said, "exit %d" % code,
              "exit 2, 'do not overlap'")


def gauge_reference(book, programs):
    book.heading("Gauge study: 10 parts, 3 appraisers, 3 trials (AIAG); printed with rounded intermediates")
    got, trouble = answer(programs, "repeatability", os.path.join(REFERENCES, "gauge_10x3x3.csv"))
    if trouble:
        return book.says("repeatability", False, trouble, "an answer")
    table = (("average_and_range", "average and range", (("repeatability", 0.20188), ("operators", 0.22963),
                                                         ("gauge", 0.30575), ("parts", 1.10456), ("total", 1.14610))),
             ("anova_without_interaction", "ANOVA, pooled", (("repeatability", 0.199933), ("operators", 0.226838),
                                                             ("gauge", 0.302372), ("parts", 1.042327),
                                                             ("total", 1.085300))),
             ("anova_with_interaction", "ANOVA, with interaction", (("repeatability", 0.214435),
                                                                    ("operators", 0.228304), ("gauge", 0.313217))))
    for key, name, figures in table:
        for figure, published in figures:
            near(book, "%s: %s" % (name, figure), got[key][figure], published, 5e-4 * published)
    for key, name, published in (("average_and_range", "average and range: gauge, % of total", 26.68),
                                 ("anova_without_interaction", "ANOVA, pooled: gauge, % of total", 27.86),
                                 ("anova_with_interaction", "ANOVA, with interaction: gauge, % of total", 28.75)):
        near(book, name, got[key]["percent"]["gauge"], published, 0.02)
    book.says("distinct categories", got["average_and_range"]["distinct_categories"] == 5,
              str(got["average_and_range"]["distinct_categories"]), "5")


def share(rows, wanted):
    found = [r for r in rows if wanted(r)]
    return "%d of %d found" % (sum(int(r["hit"]) for r in found), len(found)) if found else "none there"


def own_population(book, programs, work):
    book.heading("Our own rendered population (fixtures/population/result; rendered scenes are not real welds)")
    if not os.path.exists(os.path.join(POPULATION, "targets.csv")):
        return book.skip("population", "no result is kept; see DEVELOPERS")
    rows = list(csv.DictReader(open(os.path.join(POPULATION, "targets.csv"))))
    rings = list(csv.DictReader(open(os.path.join(POPULATION, "rings.csv"))))
    book.at_least("scenes", len(rings), 300)
    for kind, goal in (("unfused", 1.5), ("pore", None), ("undercut", None)):
        mine = [r for r in rows if r["kind"] == kind]
        path = os.path.join(work, kind + ".csv")
        with open(path, "w", newline="") as f:
            writer = csv.DictWriter(f, rows[0].keys())
            writer.writeheader()
            writer.writerows(mine)
        got, trouble = answer(programs, "pod", path, "--scale", "log")
        bound = got and got["ap_bound_likelihood_ratio"]
        if goal:
            book.at_most("%s: a90/95, log size, likelihood ratio" % kind, bound and round(bound, 3), goal, "mm")
        else:
            book.figure("%s: a90/95, log size, likelihood ratio" % kind,
                        "%.3f mm" % bound if bound else trouble[:28] or "no end")
        book.figure("%s: in all" % kind, share(mine, lambda r: True))
    fused = [r for r in rings if r["ring"] == "fused" and r["measured"] == "1"]
    calls = sum(int(r["false_runs"]) for r in fused)
    book.at_most("false calls per fused ring (%d on %d rings)" % (calls, len(fused)),
                 round(calls / len(fused), 3) if fused else None, 0.1)
    book.figure("scenes that could not be measured", "%d of %d" % (sum(r["measured"] != "1" for r in rings), len(rings)))


HEIGHTS = ("crown_height_mm", "concavity_mm", "misalignment_mm")


def single_frames(book, programs, work):
    book.heading("One frame says that height is not measurable")
    folder = os.path.join(tools.ROOT, "fixtures", "independent")
    for name in sorted(n for n in os.listdir(folder) if n.startswith("single_")):
        out = os.path.join(work, name)
        code, said, _ = tools.run([programs.path("rootscroll"), "measure", os.path.join(folder, name, "joint.json"),
                                   "--recording", "root", "--out", out])
        path = os.path.join(out, "reading.json")
        if code or not os.path.exists(path):
            book.says(name, False, "exit %d" % code, "measured")
            continue
        reading = json.load(open(path))
        numbers = sum(v is not None for key in HEIGHTS for v in reading["profile"][key])
        said_why = {w["what"] for w in reading["why"] if "height not measurable" in w["reason"]}
        book.says("%s: no height, and why" % name, numbers == 0 and said_why >= set(HEIGHTS) and not reading["height_by"],
                  "%d numbers, %d reasons" % (numbers, len(said_why & set(HEIGHTS))), "0 numbers, 3 reasons")


def resolution(book, programs, work):
    book.heading("The smallest line that a recording shows")
    out = os.path.join(work, "resolve")
    path = os.path.join(tools.ROOT, "fixtures", "demo", "joint.json")
    got, trouble = answer(programs, "smallest-line", path, "--recording", "root", "--out", out)
    if trouble:
        return book.says("demo", False, trouble, "an answer")
    known = [v for v in got["weld_worst_mm"] if v is not None]
    book.at_most("demo: worst smallest line on the weld", max(known) if len(known) == 720 else None, 0.8, "mm")
    got, _ = answer(programs, "smallest-line", path, "--recording", "root", "--out", out, "--line-mm", "0.1")
    book.says("a line of 0.1 mm is not shown by it", got and len(got["not_shown_weld"]) == 1,
              "not shown" if got and got["not_shown_weld"] else "shown", "not shown")


def others(book, programs, work):
    """The proofs of the light section and of the travel: prove_light and prove_travel (book, programs, work)."""
    for name, function in (("gauge_light", "prove_light"), ("gauge_travel", "prove_travel")):
        if not os.path.exists(os.path.join(os.path.dirname(os.path.abspath(__file__)), name + ".py")):
            book.heading(name)
            book.skip(name, "not made yet")
            continue
        prove_it = getattr(importlib.import_module(name), function)
        prove_it(*[book, programs, work][:len(inspect.signature(prove_it).parameters)])


def prove():
    with tempfile.TemporaryDirectory(prefix="prove-") as work:
        programs = tools.Programs(["rootscroll", "make_scene", "relief_test"], os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        book = tools.Ledger()
        pod_reference(book, programs)
        pod_refusal(book, programs, work)
        gauge_reference(book, programs)
        own_population(book, programs, work)
        resolution(book, programs, work)
        single_frames(book, programs, work)
        others(book, programs, work)
    return book.close()
