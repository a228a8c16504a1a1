"""The main job, from a recording to a judged strip and a report, against frames and pictures from elsewhere."""
import json
import os
import re
import tempfile

import ledger as tools
from photographs import never_measured

LITTLE_MISALIGNMENT = ("single_00", "single_02", "single_06")


def score(programs, folder, scenes, keep):
    """Runs the outside scorer on the scenes of a folder whose name holds `scenes`; returns its rows and last words."""
    scorer = os.path.join(tools.SHARED, "score", "score_all")
    code, said, _ = tools.run([scorer, programs.path("rootscroll"), folder, "--only", scenes, "--keep", keep])
    path = os.path.join(keep, "scores.json")
    rows = json.load(open(path)) if os.path.exists(path) else []
    return rows, "" if code == 0 else said[-600:]


def sides(name):
    """The sides of the weld that this scene's cameras stood on: left for a camera that looks along +z."""
    path = os.path.join(tools.SHARED, "scenes", name, "joint.json")
    frames = [f for r in json.load(open(path))["recordings"] for f in r["frames"]]
    return sorted({"right" if f.get("looks", "+z") == "-z" else "left" for f in frames})


def width(book, row):
    name, w = row["name"], row["width"]
    if name.startswith(LITTLE_MISALIGNMENT):
        book.at_most("width error p95, " + name, w["p95"], 0.40, "mm")
    book.at_least("width errors inside 2u, " + name, w.get("inside_2u_%"), 90, "%")
    book.at_least("width stated of lines with both toes in sight, " + name, w["stated_of_in_sight_%"], 80, "%")


def fusion(book, row):
    name, both = row["name"], [row["fusion_left"], row["fusion_right"]]
    for side in sides(name):
        f = row["fusion_" + side]
        book.at_least("fusion right, %s side, %s" % (side, name), f["right_%"], 97, "%")
        book.at_least("fusion stated of in sight, %s side, %s" % (side, name), f["stated_of_in_sight_%"], 90, "%")
    runs, found = (sum(f[k] for f in both) for k in ("runs_in_sight", "found_in_sight"))
    if runs:
        book.says("unfused runs in sight found, " + name, found == runs, "%d of %d" % (found, runs), "all")
    book.at_most("unfused runs called fused, " + name, sum(f["called_fused"] for f in both), 0)
    false_runs = sum(f["false_runs"] for f in both)
    if sum(f["runs"] for f in both) == 0:
        book.at_most("false runs on a fused weld, " + name, false_runs, 0)
    else:
        book.figure("false runs beside true ones, " + name, str(false_runs))


def scenes(book, programs, work):
    book.heading("Independently rendered scenes")
    if not os.path.isdir(os.path.join(tools.SHARED, "scenes")):
        return book.skip("scenes", "../shared/scenes is not here")
    for kind, how_many in (("single_", 10), ("both_", 1)):
        rows, trouble = score(programs, os.path.join(tools.SHARED, "scenes"), kind, os.path.join(work, kind))
        book.says("%s* scenes measured" % kind, not trouble and len(rows) >= how_many, str(len(rows)),
                  ">= %d" % how_many)
        if trouble:
            print(trouble)
        for row in rows:
            for side in sides(row["name"]):
                book.at_most("%s toe error p95, near side, %s" % (side, row["name"]), row[side + "_toe"]["p95"], 0.30,
                             "mm")
            width(book, row)
            fusion(book, row)
            book.figure("seconds for the whole scene, " + row["name"], "%.1f s" % row["seconds"])


def demo(book, programs, work):
    book.heading("The demo recording, seen from both sides, against its own truth")
    if not os.path.isdir(os.path.join(tools.SHARED, "score")):
        return book.skip("demo", "../shared/score is not here")
    rows, trouble = score(programs, os.path.join(tools.ROOT, "fixtures"), "demo", os.path.join(work, "demo"))
    book.says("demo measured", len(rows) == 1, str(len(rows)), "1")
    for row in rows:
        both = [row["fusion_left"], row["fusion_right"]]
        runs, found = (sum(f[k] for f in both) for k in ("runs_in_sight", "found_in_sight"))
        book.says("unfused runs in sight found", found == runs, "%d of %d" % (found, runs), "all")
        book.at_most("unfused runs called fused", sum(f["called_fused"] for f in both), 0)
        for side in ("left", "right"):
            book.figure("%s toe error p95" % side, "%s mm" % row[side + "_toe"]["p95"])
        book.figure("width error p95, share inside 2u", "%s mm, %s %%" % (row["width"]["p95"],
                                                                       row["width"].get("inside_2u_%")))


def boards(book, programs):
    book.heading("Calibration against published answers")
    code, said, _ = tools.run([programs.path("camera_test"),
                               "--gtest_filter=FisheyeBoards.*Pictures*:PerspectiveBoards.*"])
    book.says("tests of the real boards", code == 0 and "[  PASSED  ]" in said, "exit %d" % code, "exit 0")
    test = ""
    for line in said.splitlines():
        if line.startswith("[ RUN      ]"):
            test = line.split(".")[-1].strip()
        if line.startswith("[  SKIPPED ]") and line.endswith("ms)"):
            book.skip(test, "../shared/real is not here")
        found = re.search(r"^\s+(\w+): rms ([\d.]+) px, at most ([\d.]+) px from the published curve", line)
        if found:
            book.at_most("%s: %s, 10 to 80 degrees" % (test, found[1]), float(found[3]), 1.5, "px")
        elif line.startswith("  f "):
            book.figure(test, line.strip().split(" px")[0] + " px")


def bare_bore(book, programs, work):
    book.heading("A rendered bore without a weld")
    for seed in (1, 2, 3):
        scene, out = (os.path.join(work, "bare_%d%s" % (seed, end)) for end in ("", "_out"))
        code, said, _ = tools.run([programs.path("make_scene"), scene, "--kind", "bare", "--seed", str(seed)])
        if code:
            book.says("bare bore, seed %d" % seed, False, said.strip()[:60], "rendered")
            continue
        code, said, _ = tools.run([programs.path("rootscroll"), "measure", os.path.join(scene, "joint.json"),
                                   "--recording", "root", "--out", out])
        numbers = True
        if os.path.exists(os.path.join(out, "reading.json")):
            profile = json.load(open(os.path.join(out, "reading.json")))["profile"]
            numbers = any(v is not None for key, line in profile.items() if key.endswith("_mm") for v in line)
        book.says("bare bore, seed %d" % seed, code == 3 and "no weld found" in said.lower() and not numbers,
                  "exit %d, %snumbers" % (code, "" if numbers else "no "), "exit 3, 'no weld found', no numbers")


def photographs(book, programs, work):
    book.heading("Photographs that are no view along a bore")
    never_measured(book, programs, work)


def times(book, programs):
    book.heading("Time on one 1280x960 frame, beside one cv::remap of the same strip in the same process")
    code, said, _ = tools.run([programs.path("rootscroll_bench"), "--benchmark_repetitions=3",
                               "--benchmark_min_time=0.2"])
    ratios = re.findall(r"ratio: (\w+) / (\w+) = ([\d.]+) \(([\d.]+) ms / ([\d.]+) ms\)", said)
    if code or not ratios:
        return book.says("benchmark", False, "exit %d" % code, "runs")
    for name, other, ratio, mine, its in ratios:
        book.figure("%s / %s" % (name, other), "%s (%s / %s ms)" % (ratio, mine, its))


def prove():
    with tempfile.TemporaryDirectory(prefix="prove-") as work:
        programs = tools.Programs(["rootscroll", "make_scene", "camera_test", "rootscroll_bench"],
                                  os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        book = tools.Ledger()
        scenes(book, programs, work)
        demo(book, programs, work)
        boards(book, programs)
        bare_bore(book, programs, work)
        photographs(book, programs, work)
        times(book, programs)
    print("\nNot proved here: scripts/demo and scripts/check on a machine with nothing installed; "
          "the strip, the overlay and the report's pages are for eyes.")
    return book.close()
