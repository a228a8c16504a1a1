"""The camera's place under shop conditions: who is measured, by condition, and whether the poses told are right."""
import os
import tempfile

import field_scores
import ledger as tools

OWN_COUNT, OWN_FIRST = 60, 700001  # drawn for this proof alone: nothing was fitted on these numbers


def population(book, name, lines, floors):
    whole = lines["all"]
    book.at_least("recordings measured, " + name, whole["measured_%"], 90 if floors else 80, "%")
    book.at_most("recordings not read, " + name, whole["not_read"], 0)
    for title in sorted(field_scores.conditions(lines)):
        line = lines[title]
        told = "recordings measured, %s, %s (of %d)" % (title, name, line["recordings"])
        if line["recordings"] < 5:
            book.figure(told, "%g %%" % line["measured_%"])
        else:
            book.at_least(told, line["measured_%"], 80 if floors else 60, "%")
    frames, told = whole["frames"], whole["poses_with_axis"]
    book.figure("frames whose pose is told, " + name, "%d of %d" % (told, frames))
    book.at_least("of these right (0.03 R, 1 degree, 0.03 R), " + name, round(100.0 * whole["poses_right"] / max(1, told), 1), 95, "%")
    book.at_most("runs called fused, " + name, whole["called_fused"], 0)
    book.figure("false runs a recording, " + name, "%.3f" % (whole["false_runs"] / max(1, whole["recordings"])))
    book.figure("widths inside 2u, " + name, "%s %%" % whole["width_inside_2u_%"])


def shared(book, programs, work):
    book.heading("Recordings under shop conditions, made by another program")
    folder = os.path.join(tools.SHARED, "field")
    if not os.path.isdir(folder):
        return book.skip("field", "../shared/field is not here")
    lines, rows, trouble = field_scores.measured_by(programs, folder, os.path.join(work, "field"))
    book.says("scored", not trouble, trouble or "%d recordings" % len(rows), "all")
    if not trouble:
        population(book, "field", lines, True)


def own(book, programs, work):
    book.heading("Recordings of our own maker, drawn at random")
    if not os.path.exists(field_scores.SCORER):
        return book.skip("own recordings", "../shared/score is not here")
    trouble = field_scores.drawn(programs, os.path.join(work, "drawn"), OWN_COUNT, OWN_FIRST)
    lines = {}
    if not trouble:
        lines, _, trouble = field_scores.measured_by(programs, os.path.join(work, "drawn"), os.path.join(work, "own"))
    book.says("drawn and scored", not trouble, trouble or str(OWN_COUNT), "all")
    if not trouble:
        population(book, "own", lines, False)


def heads(book, programs, work):
    book.heading("Heads under shop conditions, made by the first ray tracer")
    folder = os.path.join(tools.SHARED, "scenes")
    if not os.path.isdir(folder):
        return book.skip("heads", "../shared/scenes is not here")
    for name in sorted(n for n in os.listdir(folder) if n.startswith("head_")):
        joint = os.path.join(folder, name, "joint.json")
        out = os.path.join(work, name)
        code, said, _ = tools.run([programs.path("rootscroll"), "measure", joint, "--recording", "root", "--out", out])
        book.says("measured, " + name, code == 0, "exit %d" % code, "exit 0")


def prove():
    book = tools.Ledger()
    with tempfile.TemporaryDirectory() as work:
        programs = tools.Programs(["rootscroll", "make_field"], os.path.join(work, "programs"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        shared(book, programs, work)
        heads(book, programs, work)
        own(book, programs, work)
    return book.close()
