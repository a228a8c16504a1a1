"""Reruns what was promised to people: handbook, words, packages, times of a fresh build."""
import json
import os
import re
import shutil
import subprocess
import tempfile
import time

import ledger as tools

TESTS = ["handbook_test", "cameras_test", "cli_test", "joint_test", "viewer_test"]


def handbook(book, programs):
    book.heading("Handbook and README")
    code, said, seconds = tools.run([programs.path("handbook_test")])
    book.says("chapters, search, examples, errors, README; %.0f s" % seconds, code == 0, "exit %d" % code, "exit 0")
    book.at_least("examples run as they stand", len(re.findall(r"^\[       OK \] Handbook/Examples", said, re.M)), 7)
    with open(os.path.join(tools.ROOT, "README.md"), encoding="utf-8") as readme:
        book.at_most("words of the README", len(readme.read().split()), 1200)
    for language in ("en", "es"):
        folder = os.path.join(tools.ROOT, "app", "handbook", language)
        book.at_least("chapters, " + language, len([name for name in os.listdir(folder) if name.endswith(".md")]), 14)


def camera_and_facts(book, programs):
    book.heading("Camera and facts of a joint, no JSON opened")
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    for program, wanted in (("cameras_test", "*"), ("joint_test", "Facts.*"), ("viewer_test", "People.*")):
        code, said, _ = tools.run([programs.path(program), "--gtest_filter=" + wanted])
        names = re.findall(r"^\[ RUN      \] (\S+)", said, re.M)
        for name in names:
            held = re.search(r"^\[       OK \] " + re.escape(name), said, re.M)
            words = re.sub(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])", " ", name.split(".")[1]).lower()
            book.says(words, held, "held" if held else "failed", "held")
        book.at_least("tests found in " + program, len(names), 5)


def words(book, programs):
    book.heading("Words")
    code, _, _ = tools.run([programs.path("cli_test"), "--gtest_filter=Renamed.*"])
    book.says("old names refused, the new one named", code == 0, "exit %d" % code, "exit 0")
    code, said, _ = tools.run([programs.path("viewer_test"), "--gtest_filter=Spanish.*"])
    book.says("the window's Spanish is complete", code == 0, "exit %d" % code, "exit 0")
    sources = subprocess.run(["git", "grep", "-hE", r"tr\(\"", "--", "app/viewer"], cwd=tools.ROOT, capture_output=True,
                             text=True).stdout
    for word in ("Swipe", "Ribbon", "Crown", "crown", "station line"):
        book.at_most("texts of the window that say `%s`" % word, len(re.findall(r'tr\("[^"]*%s' % word, sources)), 0)


def by_mouse(book, programs, work):
    """Two pictures and twelve of a board to a signed PDF; a picture of every step is left in build/person_path."""
    book.heading("By mouse under a virtual display: from pictures to a signed record, no JSON opened")
    if not shutil.which("Xvfb"):
        return book.skip("the path", "needs Xvfb")
    pictures = os.path.join(work, "pictures")
    shots = os.path.join(tools.ROOT, "build", "person_path")
    os.makedirs(pictures)
    for number, name in enumerate(("from_a.jpg", "from_b.jpg"), 1):
        shutil.copy(os.path.join(tools.ROOT, "fixtures", "demo", name), os.path.join(pictures, "root_%d.jpg" % number))
    os.environ.update(XDG_DATA_HOME=work + "/data", XDG_CONFIG_HOME=work + "/config")
    code, said, seconds = tools.run(["tests/viewer/in_a_window.sh", programs.path("person_path"), pictures,
                                     work + "/path", shots], 600)
    book.says("walked to its end", code == 0, "exit %d" % code, "exit 0")
    steps = re.findall(r"figure: (\w+) (\d+) clicks, (\d+) drops, (\d+) letters, (\d+) s", said)
    for name, clicks, drops, letters, took in steps:
        book.figure(name, "%s clicks, %s drops, %s letters, %s s" % (clicks, drops, letters, took))
    book.at_most("clicks and drops in all", sum(int(step[1]) + int(step[2]) for step in steps) or None, 60)
    book.at_most("seconds in all", seconds, 120, "s")
    missed = re.findall(r"^(?:not there to be clicked|no such|not chosen|no menu holds).*", said, re.M)
    book.says("everything that was clicked was there", code == 0 and not missed, "; ".join(missed) or "all", "all")
    text = subprocess.run(["pdftotext", work + "/path/record/report.pdf", "-"], capture_output=True, text=True).stdout
    for words in ("examined by R. Example", "Key (Ed25519)", "never replaces the qualified examiner"):
        book.says("the PDF says `%s`" % words, words in text, "found" if words in text else "not there", "found")
    with open(os.path.join(tools.ROOT, "fixtures", "demo", "truth.json"), encoding="utf-8") as file:
        truth = sorted((run["start_deg"], run["end_deg"]) for run in json.load(file)["features"]["unfused"])
    text = subprocess.run(["pdftotext", "-raw", work + "/path/record/report.pdf", "-"], capture_output=True,
                          text=True).stdout
    found = re.findall(r"original edge visible,\s+piece [ab]:[^(]*\((\d+\.\d)°\s+to\s+(\d+\.\d)°\)", text)
    told = sorted(set(found), key=lambda run: float(run[0]))
    off = [abs(float(a) - b) for run, true in zip(told, truth) for a, b in zip(run, true)]
    book.says("unfused runs on it", len(told) == len(truth), str(told), str(truth))
    book.at_most("their ends off the scene's truth", max(off) if off else None, 2, "degrees")
    code, said, _ = tools.run([programs.path("rootscroll"), "book", "verify", work + "/path/joints.book"])
    book.says("the book proves itself whole", code == 0, "exit %d" % code, "exit 0")


def packages(book):
    book.heading("Packages")
    if os.geteuid() != 0 or not shutil.which("lintian") or not shutil.which("debootstrap"):
        return book.skip("packages in a clean root", "needs root, lintian and debootstrap")
    code, said, seconds = tools.run(["scripts/package", "--try"], 7200)
    book.says("made, lintian, installed, demo run, removed; %.0f s" % seconds, code == 0, "exit %d" % code, "exit 0")
    if code:
        print(said[-2000:])


def phase(command, folder):
    """Wall seconds, and half of the processor seconds: what two cores take where nothing else runs."""
    began, before = time.time(), os.times()
    code = subprocess.run(command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode
    after = os.times()
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    return code, time.time() - began, spent / 2


def fresh_clone(book):
    """A cold build of what the demo needs, compiler cache off, by phase; packages are there already."""
    book.heading("From a fresh clone to the first report (packages are there)")
    with tempfile.TemporaryDirectory() as work:
        clone = os.path.join(work, "clone")
        os.environ["CCACHE_DISABLE"] = "1"
        phases = [("cloned", ["git", "clone", "-q", tools.ROOT, clone], work),
                  ("configured", ["cmake", "--preset", "release"], clone),
                  ("compiled", ["cmake", "--build", "--preset", "release", "--target", "rootscroll"], clone),
                  ("report written", ["scripts/demo"], clone)]
        whole = 0
        for name, command, folder in phases:
            code, wall, half = phase(command, folder)
            whole += half
            book.says(name, code == 0, "exit %d" % code, "exit 0")
            book.figure("wall", "%.0f s, load %.1f" % (wall, os.getloadavg()[0]))
            if name == "compiled":
                book.at_most("compiled: half of the processor time", half, 180, "s")
            else:
                book.figure("half of the processor time", "%.0f s" % half)
        del os.environ["CCACHE_DISABLE"]
        book.at_most("in all: half of the processor time", whole, 300, "s")


def prove():
    book = tools.Ledger()
    with tempfile.TemporaryDirectory() as work:
        programs = tools.Programs(TESTS + ["rootscroll", "person_path"], os.path.join(work, "programs"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        handbook(book, programs)
        camera_and_facts(book, programs)
        words(book, programs)
        by_mouse(book, programs, work)
    packages(book)
    if os.environ.get("PROVE_CLONE"):
        fresh_clone(book)
    else:
        book.skip("from a fresh clone to the first report", "a quarter of an hour: asked for by PROVE_CLONE=1")
    return book.close()
