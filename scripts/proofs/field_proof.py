"""The camera's place under shop conditions: who is measured, by condition, whether the poses told are right, what is covered,
whole films, time and memory. Prints at the end the table by condition that the guide for users holds."""
import glob
import json
import os
import tempfile

import field_films
import field_poses
import field_scores
import field_table
import ledger as tools
import main_proof
import photographs

OWN_COUNT, OWN_FIRST = 60, 700001  # drawn for this proof alone: nothing was fitted on these numbers
BARE_FIRST = 720001
BARE = ("lit end", "dam", "elbow")


BEFORE = json.load(open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "field_before.json")))


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


def not_worse(book, rows):
    """Of the recordings that were measured before (field_before.json): false runs, and the share inside 2u."""
    before = BEFORE["field"]
    now = {r["name"]: r["score"] for r in rows if r["name"] in before and "score" in r}
    book.at_least("recordings measured before that are read now", len(now), len(before))
    false = sum(s[k]["false_runs"] for s in now.values() for k in ("fusion_left", "fusion_right"))
    book.at_most("false runs on these", false, sum(b[0] for b in before.values()))
    inside = [s["width"]["inside_2u_%"] for s in now.values() if s["width"].get("inside_2u_%") is not None]
    was = [b[1] for b in before.values() if b[1] is not None]
    book.at_least("widths inside 2u on these, mean over recordings", round(sum(inside) / max(1, len(inside)), 1),
                  round(sum(was) / len(was), 1), "%")


def figures_of(row):
    """What must not get worse on a scene: widths in mm, then counts of runs."""
    both = [row["fusion_left"], row["fusion_right"]]
    width = [row["width"][k] if row["width"][k] != [] else None for k in ("p50", "p95")]
    return width + [sum(f["found_in_sight"] for f in both), sum(f["false_runs"] + f["called_fused"] for f in both)]


def scenes(book, programs, work):
    """The scenes of ../shared/scenes against their figures of before: 0.05 mm, or a count."""
    book.heading("Scenes without shop conditions, against their figures of before")
    rows, trouble = main_proof.score(programs, os.path.join(tools.SHARED, "scenes"), "", os.path.join(work, "scenes"))
    for row in rows:
        was = BEFORE["scenes"].get(row["name"])
        if not was:
            book.figure("no figures of before, " + row["name"], str(figures_of(row)))
            continue
        now = figures_of(row)
        wider = [a is not None and (b is None or b > a + 0.05) for a, b in zip(was[:2], now[:2])]
        book.says("not worse, " + row["name"], not any(wider) and now[2] >= was[2] and now[3] <= was[3], str(now), str(was))
    book.says("scored", not trouble and rows, trouble or str(len(rows)), "all")


def shared(book, programs, work):
    book.heading("Recordings under shop conditions, made by another program")
    folder = os.path.join(tools.SHARED, "field")
    if not os.path.isdir(folder):
        book.skip("field", "../shared/field is not here")
        return {}
    lines, rows, trouble = field_scores.measured_by(programs, folder, os.path.join(work, "field"))
    book.says("scored", not trouble, trouble or "%d recordings" % len(rows), "all")
    if not trouble:
        population(book, "field", lines, True)
        field_poses.believed(book, folder, os.path.join(work, "field"), "field")
        not_worse(book, rows)
    return lines


def own(book, programs, work, quick):
    book.heading("Recordings of our own maker, drawn at random")
    if not os.path.exists(field_scores.SCORER):
        book.skip("own recordings", "../shared/score is not here")
        return {}
    count = 10 if quick else OWN_COUNT
    trouble = field_scores.drawn(programs, os.path.join(work, "drawn"), count, OWN_FIRST,
                                 ["--width", "800"] if quick else [])
    lines = {}
    if not trouble:
        lines, _, trouble = field_scores.measured_by(programs, os.path.join(work, "drawn"), os.path.join(work, "own"))
    book.says("drawn and scored", not trouble, trouble or str(count), "all")
    if not trouble:
        population(book, "own", lines, False)
        field_poses.believed(book, os.path.join(work, "drawn"), os.path.join(work, "own"), "own")
    return lines


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


def bare(book, programs, work, count):
    """Straight pipes without a weld: never measured."""
    book.heading("Bores without a weld")
    for condition in BARE:
        folder, wrong = os.path.join(work, "bare", condition), []
        trouble = field_scores.drawn(programs, folder, count, BARE_FIRST,
                                     ["--recording", "bare", "--plain", "--width", "800"] + field_films.only([condition]))
        recordings = sorted(glob.glob(os.path.join(folder, "*", "joint.json")))
        for joint in recordings:
            out = os.path.join(os.path.dirname(joint), "out")
            code, said, _ = tools.run([programs.path("rootscroll"), "measure", joint, "--recording", "root", "--out",
                                       out, "--quiet"])
            if code != 3 or photographs.numbers_in(out):
                wrong.append("%s: exit %d" % (joint.split(os.sep)[-2], code))
        book.says("exit 3 and no number, " + condition, recordings and not trouble and not wrong,
                  trouble or ", ".join(wrong) or "%d of %d" % (len(recordings), len(recordings)), "all")
        field_poses.bare_axis(book, programs, folder, condition)


def prove(quick=False):
    book = tools.Ledger()
    with tempfile.TemporaryDirectory() as work:
        programs = tools.Programs(["rootscroll", "make_field", "make_scene", "covered_known", "pose_population"],
                                  os.path.join(work, "programs"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        lines = {}
        if not quick:
            lines = shared(book, programs, work)
            heads(book, programs, work)
            scenes(book, programs, work)
        drawn = own(book, programs, work, quick)
        field_poses.covered(book, programs, quick)
        field_films.films(book, programs, work, 1 if quick else 3)
        field_films.an_hour(book, programs, work, quick)
        bare(book, programs, work, 1 if quick else 5)
        book.heading("Photographs of other things")
        photographs.never_measured(book, programs, work, 6 if quick else 1)
        field_poses.times(book, programs, work)
        for title, own_or_other in (("another renderer", lines), ("our own renders", drawn)):
            if own_or_other:
                print("\nBy condition, %s:\n\n%s" % (title, field_table.table(own_or_other)))
    return book.close()
