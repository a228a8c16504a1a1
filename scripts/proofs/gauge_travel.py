"""Frames of a push: poses solved together, width, misalignment, and what is said of heights."""
import json
import os
import re

import ledger as tools
from main_proof import score


def heights(book, row, reading):
    """A height by travel stands only where it was earned: today nowhere, and then the reason must be there."""
    name = row["name"]
    reasons = {w["what"]: w["reason"] for w in reading["why"]}
    for key, what in (("crown", "crown_height_mm"), ("concavity", "concavity_mm")):
        stated = row[key]["stated_%"]
        if stated:
            book.at_most("%s error p95 by travel at %g %% of lines, %s" % (key, stated, name), row[key]["p95"], 0.25,
                         "mm")
            book.at_least("%s errors inside 2u by travel, %s" % (key, name), row[key].get("inside_2u_%"), 93, "%")
        else:
            book.says("%s by travel not stated, with the reason, %s" % (key, name), bool(reasons.get(what)),
                      "stated 0 %", "a reason")


def pushes(book, programs, work):
    book.heading("Pushes, independently rendered: poses solved together")
    if not os.path.isdir(os.path.join(tools.SHARED, "scenes")):
        return book.skip("pushes", "../shared/scenes is not here")
    keep = os.path.join(work, "push")
    rows, trouble = score(programs, os.path.join(tools.SHARED, "scenes"), "push_", keep)
    book.says("push_* scenes measured", not trouble and len(rows) >= 2, str(len(rows)), ">= 2")
    if trouble:
        print(trouble)
    for row in rows:
        name = row["name"]
        reading = json.load(open(os.path.join(keep, name, "reading.json")))
        together = any("solved together" in note for note in reading["notes"])
        book.says("poses solved together, " + name, together, "%d frames" % row["pose"]["frames"], "said in the notes")
        book.at_most("camera offset, worst frame, " + name, row["pose"]["offset_err_max"], 0.2, "mm")
        book.at_most("camera tilt, worst frame, " + name, row["pose"]["tilt_err_max"], 0.15, "deg")
        book.at_most("near toe error p95, " + name, row["left_toe"]["p95"], 0.30, "mm")
        book.at_most("width error p95, " + name, row["width"]["p95"], 0.20, "mm")
        book.figure("width error p50 and p95 (goal p95 0.10 mm), " + name,
                    "%s, %s mm" % (row["width"]["p50"], row["width"]["p95"]))
        book.at_least("width errors inside 2u, " + name, row["width"].get("inside_2u_%"), 90, "%")
        book.at_most("misalignment error p95, " + name, row["hilo"]["p95"], 0.10, "mm")
        book.at_least("misalignment stated, " + name, row["hilo"]["stated_%"], 90, "%")
        heights(book, row, reading)


def single_frame(book, programs, work):
    book.heading("One frame says that height is not measurable from it")
    out = os.path.join(work, "travel_single")
    joint = os.path.join(tools.ROOT, "fixtures", "independent", "single_00_fused", "joint.json")
    code, said, _ = tools.run([programs.path("rootscroll"), "measure", joint, "--recording", "root", "--out", out])
    path = os.path.join(out, "reading.json")
    if not os.path.exists(path):
        return book.says("single frame", False, "exit %d" % code, "measured")
    reading = json.load(open(path))
    absent = all(v is None for key in ("crown_height_mm", "concavity_mm", "misalignment_mm")
                 for v in reading["profile"][key])
    said = [w["what"] for w in reading["why"] if re.search("single view", w["reason"])]
    book.says("no height, and why", absent and len(set(said)) >= 3, ", ".join(sorted(set(said))), "three reasons")


def forty_frames(book, programs, work):
    book.heading("A push of 40 frames, 1280x960: time and memory")
    scene, out = os.path.join(work, "push40"), os.path.join(work, "push40_out")
    code, said, _ = tools.run([programs.path("make_scene"), scene, "--kind", "fused", "--seed", "5", "--frames", "40"])
    if code:
        return book.says("40 frames", False, said.strip()[:60], "rendered")
    code, said, seconds = tools.run(["/usr/bin/time", "-v", programs.path("rootscroll"), "measure",
                                     os.path.join(scene, "joint.json"), "--recording", "root", "--out", out])
    memory = re.search(r"Maximum resident set size \(kbytes\): (\d+)", said)
    book.at_most("seconds, two cores", round(seconds, 1), 60, "s")
    book.figure("peak memory", "%d MiB" % (int(memory[1]) / 1024) if memory else "not known")


def prove_travel(book, programs, work):
    pushes(book, programs, work)
    single_frame(book, programs, work)
    forty_frames(book, programs, work)
