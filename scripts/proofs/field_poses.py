"""Where the camera stood: poses that were believed and are wrong, axes of bores without a weld, what it costs."""
import glob
import importlib.util
import json
import os

import field_scores
import ledger as tools

COVERED_FIRST, COVERED_LEVELS = 990001, 20  # drawn for this proof alone


def outside_score():
    spec = importlib.util.spec_from_file_location("outside_score", os.path.join(tools.SHARED, "score", "score.py"))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.score


def far_off(reading, truth, score):
    """Files of the poses told that are off by more than twice the limits (0.03 R, 1 degree, 0.03 R), and how many were told."""
    raw, whole = {}, reading.get("poses") or []
    score(reading, truth, raw)
    wrong = []
    for i, place in enumerate(zip(raw["pose_offset"], raw["pose_axis"], raw["pose_distance"])):
        if place[0] > 0.06 or place[1] > 2 or place[2] > 0.06:
            wrong.append("%s: %.3f R aside, %.2f degrees, %.3f R along" % ((whole[i].get("file"),) + place))
    return wrong, len(raw["pose_axis"])


def believed(book, folder, keep, name):
    """At most 1 % of the poses told; each is listed with its picture."""
    score, told, wrong = outside_score(), 0, []
    for path in sorted(glob.glob(os.path.join(keep, "**", "reading.json"), recursive=True)):
        root = os.path.join(folder, os.path.relpath(os.path.dirname(path), keep))
        if not os.path.exists(os.path.join(root, "truth.json")):
            continue
        off, count = far_off(json.load(open(path)), json.load(open(os.path.join(root, "truth.json"))), score)
        told += count
        wrong += [os.path.join(root, line) for line in off]
    book.at_most("poses believed and off by more than twice the limits, %s (of %d told)" % (name, told),
                 round(100.0 * len(wrong) / max(1, told), 2), 1, "%")
    for line in wrong:
        print("          " + line)


def bare_axis(book, programs, folder, condition):
    """The axis of bores without a weld, by the search alone."""
    code, said, _ = tools.run([programs.path("pose_population"), folder])
    lines = [line for line in said.splitlines() if " tilt " in line and ".jpg" in line]
    offs = [float(line.split(" tilt ")[1].split()[0]) for line in lines if " score " in line]
    book.at_most("axis of a bare bore off, %s, worst of %d told in %d frames" % (condition, len(offs), len(lines)), max(offs) if offs else None, 1,
                 "degrees")


def covered(book, programs, quick):
    book.heading("What is covered, against our own maker's truth")
    rows = []
    for i, more in enumerate(([], ["--only", "hoses"], ["--only", "tool"], ["--only", "text"])):
        code, said, _ = tools.run([programs.path("covered_known"), "--first", str(COVERED_FIRST + 100 * i), "--count",
                                   str(4 if quick else 20), "--width", "800"] + more, 7200)
        rows += [json.loads(line) for line in said.splitlines() if line.startswith("{")]
    level = json.load(open(os.path.join(tools.ROOT, "vision/evidence/model/strip_reader.json")))["map_above"]["covered"]
    first = int(round(level * COVERED_LEVELS))

    def share(key, some):
        return round(100.0 * sum(sum(r[key][first:]) for r in some) / max(1, sum(sum(r[key]) for r in some)), 2)
    seen = [r for r in rows if sum(r["covered"]) > 500]
    book.figure("frames, with something before the wall", "%d, %d" % (len(rows), len(seen)))
    book.at_least("covered cells called covered", share("covered", rows), 95, "%")
    book.at_least("clear cells called clear", 100 - share("clear", rows), 95, "%")
    book.at_least("covered lines of the near toe called covered", share("toe_covered", rows), 95, "%")
    book.at_most("clear lines of the near toe lost", share("toe_clear", rows), 1, "%")
    book.at_most("of them lines of an unfused edge", share("edge_unfused", rows), 1, "%")
    kept = sorted(100 - share("clear", [r]) for r in rows)
    book.at_least("clear cells called clear, the frame at the 5th percentile", kept[len(kept) // 20] if kept else None, 95, "%")
    hits = sorted(share("covered", [r]) for r in seen)
    book.figure("covered cells called covered, frame by frame, middle and 5th percentile",
                "%g, %g %%" % (hits[len(hits) // 2], hits[len(hits) // 20]) if hits else "none")


def times(book, programs, work):
    book.heading("Time and memory")
    folder = os.path.join(work, "timed")
    trouble = field_scores.drawn(programs, folder, 3, 740001, ["--recording", "look", "--plain", "--tame", "--nps", "6"])
    frames = len(glob.glob(os.path.join(folder, "*", "*.jpg")))
    code, used = tools.used_by(["taskset", "-c", "0", programs.path("pose_population"), folder])
    book.at_most("a frame's pose by the full search, file read too, processor seconds, mean of %d" % frames,
                 round((used.ru_utime + used.ru_stime) / frames, 2) if frames and not code and not trouble else None, 1.5, "s")
    push = os.path.join(work, "push_40")
    tools.run([programs.path("make_scene"), push, "--kind", "fused", "--seed", "741", "--frames", "40", "--travel", "60"])
    began = tools.time.time()
    code, used = tools.used_by([programs.path("rootscroll"), "measure", os.path.join(push, "joint.json"), "--recording", "root",
                                "--out", os.path.join(push, "out"), "--quiet"])
    took = tools.time.time() - began
    book.at_most("a push of 40 frames measured, as run here (exit %d)" % code, round(took, 1), 30, "s")
    book.figure("its processor seconds and peak memory", "%.0f s, %.0f MiB" % (used.ru_utime + used.ru_stime,
                                                                               used.ru_maxrss / 1024))
