"""What the record says, rerun on the demo: notes reach paper, page one is what is signed, every output supports."""
import json
import os
import re
import shutil
import tempfile

import ledger as tools

SUPPORTS = "supports and never replaces the qualified examiner"
TESTS = ["known_test", "marks_test", "report_test"]
BY = {"author": "R. Example", "time": "2026-01-31T10:00:00Z"}


def tests(book, programs):
    book.heading("What is known, colours and patterns, the record in nine outputs")
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    for name in TESTS:
        code, said, seconds = tools.run([programs.path(name)])
        book.says("%s, %.0f s" % (name, seconds), code == 0 and "[  PASSED  ]" in said, "exit %d" % code, "exit 0")
        if name == "report_test":
            rows = re.findall(r"^(\w[^\n]*?)\s{2,}(\w+)\s+(yes|NO)\s", said, re.M)
            book.at_least("statements looked for in the outputs, both languages", len(rows), 60)
            book.at_most("of them missing", sum(row[2] == "NO" for row in rows), 0)


def fingerprint(run):
    """As app/notes names a run: side and whole degrees."""
    whole = lambda degrees: int(degrees % 360 + 0.5) % 360
    return "unfused %s %d-%d" % (run["side"], whole(run["start_deg"]), whole(run["end_deg"]))


def noted(work, program):
    """Measures the demo, then writes notes beside its joint file: one run overruled, one open note."""
    joint = os.path.join(work, "noted", "joint.json")
    shutil.copytree(os.path.join(tools.ROOT, "fixtures", "demo"), os.path.dirname(joint))
    out = os.path.join(work, "out")
    code, said, _ = tools.run([program, "run", joint, "--recording", "root", "--out", out])
    if not os.path.exists(os.path.join(out, "reading.json")):
        return None, said
    with open(os.path.join(out, "reading.json")) as file:
        reading = json.load(file)
    runs = reading["unfused"]
    notes = {"format": "rootscroll.notes/1", "joint_id": reading["joint_id"],
             "notes": [{"id": 1, "shape": "point", "kind": "surface_pore", "points": [{"theta_deg": 30, "z_mm": 0.5}],
                        "text": "dark spot", "status": "open", "reason": "", **BY}],
             "rulings": [{"about": fingerprint(runs[0]), "overruled": True, "reason": "a scratch", **BY}] if runs else [],
             "toes": []}
    with open(os.path.join(work, "noted", "joint.notes.json"), "w") as file:
        json.dump(notes, file)
    return (joint, out, runs), said


def paper(book, programs, work):
    book.heading("Notes on paper: the demo, one run overruled and one note left open")
    program = programs.path("rootscroll")
    found, said = noted(work, program)
    if not found:
        return book.says("demo measured", False, said[-200:], "reading.json")
    joint, out, runs = found
    code, said, _ = tools.run([program, "report", out, "--joint", joint])
    with open(os.path.join(out, "verdict.json")) as file:
        verdict = json.load(file)
    overruled = [f for f in verdict["findings"] if f["outcome"] == "overruled"]
    book.says("the verdict keeps the overruled run, with name and reason",
              len(overruled) == min(1, len(runs)) and all("R. Example" in f["reason"] for f in overruled),
              "%d of %d" % (len(overruled), len(runs)), "1")
    with open(os.path.join(out, "report.html")) as file:
        html = file.read()
    for words in ("dark spot", "overruled by R. Example", "in the notes file", SUPPORTS):
        book.says("the record says: " + words, words in html, "yes" if words in html else "no", "said")
    first = verdict["disposition"], verdict["decided_by"]
    tools.run([program, "judge", out, "--joint", joint])
    with open(os.path.join(out, "verdict.json")) as file:
        again = json.load(file)
    book.says("judge and report give one answer", first == (again["disposition"], again["decided_by"]),
              again["disposition"], first[0])
    book.says("verdict.json has cautions", any(SUPPORTS in c for c in verdict.get("cautions", [])),
              ", ".join(k for k in verdict if k.startswith("caution")), "cautions")
    signed_page(book, os.path.join(out, "report.pdf"))


def signed_page(book, pdf):
    if not shutil.which("pdftotext"):
        return book.skip("page one", "pdftotext is not installed")
    _, page, _ = tools.run(["pdftotext", "-f", "1", "-l", "1", "-raw", pdf, "-"])
    for words in ("Disposition", "What was found", "Coverage", "Cautions", "Inspector: name", "Approver: name"):
        book.says("page one holds: " + words, words in page, "yes" if words in page else "no", "on page one")
    _, info, _ = tools.run(["pdfinfo", pdf])
    pages = re.search(r"Pages:\s+(\d+)", info)
    book.at_most("pages of the demo's record", int(pages[1]) if pages else None, 6)


def unknown(book, programs, work):
    book.heading("What nobody entered")
    program = programs.path("rootscroll")
    file = os.path.join(work, "new.json")
    tools.run([program, "new", file, "--id", "J-1", "--criterion", "MIL-STD-2035A Class 1", "--nps", "6", "--schedule",
               "80"])
    with open(file) as opened:
        joint = json.load(opened)
    invented = [key for key in ("insert", "datum") if key in joint["joint"]] + (["lens"] if joint["cameras"] else [])
    book.says("`new` invents nothing", not invented, ", ".join(invented) or "nothing", "nothing")


def checks(book, programs, work):
    """All of it. `programs` must hold TESTS and rootscroll."""
    tests(book, programs)
    paper(book, programs, work)
    unknown(book, programs, work)


def prove():
    with tempfile.TemporaryDirectory(prefix="prove-") as work:
        programs = tools.Programs(TESTS + ["rootscroll"], os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        book = tools.Ledger()
        checks(book, programs, work)
        return book.close()


if __name__ == "__main__":
    raise SystemExit(prove())
