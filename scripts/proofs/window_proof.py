"""Reruns what of the window's list a program can rerun."""
import os
import re
import shutil
import tempfile

import ledger as tools
import record_checks

TESTS = ["viewer_test", "measure_joint_test", "viewer_main_path_test", "viewer_editor", "match_scenes_test", "notes_test"]
IN_A_WINDOW = [os.path.join(tools.ROOT, "tests", "viewer", "in_a_window.sh")]  # exit 77 where there is no Xvfb


def figures(said):
    """Lines 'figure: NAME VALUE' of a test."""
    return {m[1]: float(m[2]) for m in re.finditer(r"^figure: (\w+) ([\d.]+)", said, re.M)}


def tests(book, programs):
    book.heading("Models, commands, undo, notes, kill -9")
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    for name in ("notes_test", "viewer_test"):
        code, said, seconds = tools.run([programs.path(name)])
        book.says("%s, %.0f s" % (name, seconds), code == 0 and "[  PASSED  ]" in said, "exit %d" % code, "exit 0")
        found = figures(said)
        if "pan_median_ms" in found:
            book.at_most("median frame while panning 10000 x 600, no GPU", found["pan_median_ms"], 16.7, "ms")
            book.at_most("p95 of the same", found["pan_p95_ms"], 16.7, "ms")
            book.figure("worst frame", "%.1f ms" % found["pan_worst_ms"])
        killed = re.search(r"^figure: killed_after (\d+) changes, came_back (\d+)", said, re.M)
        if killed:
            book.at_least("changes back after kill -9 of %s shown" % killed[1], int(killed[2]), int(killed[1]))


def main_path(book, programs):
    book.heading("The main path in a real window on a virtual display")
    code, said, seconds = tools.run(IN_A_WINDOW + [programs.path("viewer_main_path_test")])
    if code == 77:
        return book.skip("main path", said.strip())
    book.says("open, end view, annotate, toe, compare, judge, report; %.0f s" % seconds,
              code == 0 and "[  PASSED  ]" in said, "exit %d" % code, "exit 0")
    book.at_most("z of a note set by eye after a joint of another bore", figures(said).get("note_z_off_mm"), 0.5, "mm")
    book.at_most("longest time the event loop was blocked", figures(said).get("longest_block_ms"), 100, "ms")
    book.figure("the same in the thread's own processor time", "%s ms" % figures(said).get("longest_cpu_ms"))


def one_truth(book, programs):
    book.heading("One truth on the screen: each line a test that fails without its mend")
    for program, wanted in (("measure_joint_test", "OnePath.*"),
                            ("viewer_test", "TwoJoints.*:OneTruth.*:Comparing.*:TypedNumbers.*:Spanish.*")):
        code, said, _ = tools.run([programs.path(program), "--gtest_filter=" + wanted])
        names = re.findall(r"^\[ RUN      \] (\S+)", said, re.M)
        for name in names:
            held = re.search(r"^\[       OK \] " + re.escape(name), said, re.M)
            words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name.split(".")[1]).lower()
            book.says(words, held, "held" if held else "failed", "held")
        book.at_least("tests found in " + program, len(names), 3 if program == "measure_joint_test" else 12)
        found = figures(said)
        if "lens_off_mm_p95" in found:
            book.at_most("lens on a sweep by light, p95 of its place against the true poses",
                         found["lens_off_mm_p95"], 1.0, "mm")
            book.at_least("frames of the sweep a place can be looked at in", found["lens_frames_a_place"], 6)


def pairs(book, programs):
    book.heading("Before laid on after, against the true poses")
    code, said, _ = tools.run([programs.path("match_scenes_test")])
    rows = re.findall(r"^pair: (\S+) roll ([\d.]+): median ([\d.]+) mm, p95 ([\d.]+) mm, worst ([\d.]+) mm; "
                      r"residual ([\d.]+) mm.*, (\w[^,\n]*)$", said, re.M)
    if not rows:
        return book.skip("pairs", "../shared/scenes is not here")
    for name, roll, median, p95, worst, residual, trusted in rows:
        book.at_most("%s, turned by %s: worst around the ring (median %s, p95 %s, residual %s)" %
                     (name, roll, median, p95, residual), float(worst), 0.5, "mm")
    wrong = re.findall(r"^wrong: (.*): (refused|TAKEN)$", said, re.M)
    book.says("wrong pairs refused", wrong and all(w[1] == "refused" for w in wrong),
              "%d of %d" % (sum(w[1] == "refused" for w in wrong), len(wrong)), "all")


def start(book, programs, work):
    book.heading("Start-up")
    for name, more in (("first start", []), ("with the demo", ["demo"])):
        arguments = IN_A_WINDOW + [programs.path("rootscroll-window"), "--time-start"]
        if more:
            folder = os.path.join(work, "demo")
            shutil.copytree(os.path.join(tools.ROOT, "fixtures", "demo"), folder)
            tools.run([programs.path("rootscroll"), "measure", os.path.join(folder, "joint.json"), "--recording", "root",
                       "--out", os.path.join(folder, "measured")])
            arguments.append(os.path.join(folder, "joint.json"))
        code, said, seconds = tools.run(arguments)
        if code == 77:
            return book.skip("start-up", said.strip())
        book.at_most("%s: process start to usable window and out, the virtual display's own start counted" % name,
                     round(seconds, 2) if code == 0 else None, 2, "s")


def prove():
    with tempfile.TemporaryDirectory(prefix="prove-") as work:
        programs = tools.Programs(TESTS + record_checks.TESTS + ["rootscroll", "rootscroll-window"], os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        os.environ.setdefault("XDG_RUNTIME_DIR", work)
        book = tools.Ledger()
        start(book, programs, work)
        tests(book, programs)
        main_path(book, programs)
        one_truth(book, programs)
        pairs(book, programs)
        record_checks.checks(book, programs, work)
    print("\nNot proved here: the pictures of scripts/screenshots are for eyes; a power cut was not tried, only kill -9.")
    return book.close()
