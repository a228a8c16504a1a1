"""The camera's place under shop conditions: who is measured, by condition, and whether the poses told are right."""
import glob
import json
import os
import tempfile

import field_scores
import ledger as tools
import photographs

OWN_COUNT, OWN_FIRST = 60, 700001  # drawn for this proof alone: nothing was fitted on these numbers
BARE_FIRST, FILM_FIRST = 720001, 730001
FILMS = (("plain", []), ("dam and hoses", ["dam", "hoses"]), ("elbow", ["elbow"]), ("coarse", ["coarse"]))
BARE = ("lit end", "dam", "elbow")


def only(conditions):
    return [word for condition in conditions for word in ("--only", condition)]


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


def own(book, programs, work, quick):
    book.heading("Recordings of our own maker, drawn at random")
    if not os.path.exists(field_scores.SCORER):
        return book.skip("own recordings", "../shared/score is not here")
    count = 10 if quick else OWN_COUNT
    trouble = field_scores.drawn(programs, os.path.join(work, "drawn"), count, OWN_FIRST,
                                 ["--width", "800"] if quick else [])
    lines = {}
    if not trouble:
        lines, _, trouble = field_scores.measured_by(programs, os.path.join(work, "drawn"), os.path.join(work, "own"))
    book.says("drawn and scored", not trouble, trouble or str(count), "all")
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


def bare(book, programs, work, count):
    """Straight pipes without a weld: never measured."""
    book.heading("Bores without a weld")
    for condition in BARE:
        folder, wrong = os.path.join(work, "bare", condition), []
        trouble = field_scores.drawn(programs, folder, count, BARE_FIRST,
                                     ["--recording", "bare", "--plain", "--width", "800"] + only([condition]))
        recordings = sorted(glob.glob(os.path.join(folder, "*", "joint.json")))
        for joint in recordings:
            out = os.path.join(os.path.dirname(joint), "out")
            code, said, _ = tools.run([programs.path("rootscroll"), "measure", joint, "--recording", "root", "--out",
                                       out, "--quiet"])
            if code != 3 or photographs.numbers_in(out):
                wrong.append("%s: exit %d" % (joint.split(os.sep)[-2], code))
        book.says("exit 3 and no number, " + condition, recordings and not trouble and not wrong,
                  trouble or ", ".join(wrong) or "%d of %d" % (len(recordings), len(recordings)), "all")


def scan_against_truth(book, programs, folder, title):
    """Distances that `scan` tells against the film's truth; moments near the weld at which it tells none."""
    truth = json.load(open(os.path.join(folder, "truth.json")))
    out = os.path.join(folder, "scan")
    code, said, seconds = tools.run([programs.path("rootscroll"), "scan", os.path.join(folder, "film.avi"), "--joint",
                                     os.path.join(folder, "joint.json"), "--out", out])
    if code not in (0, 3):
        return book.says("scanned, " + title, False, "exit %d" % code, "exit 0 or 3")
    scan = json.load(open(os.path.join(out, "scan.json")))
    distance = [-f["C"][2] / truth["R"] for f in truth["frames"]]
    a_second = scan["frames"] / scan["duration_s"]
    told = wrong = near = at_weld = 0
    for i, time_s in enumerate(scan["looks"]["time_s"]):
        true = distance[min(len(distance) - 1, int(round(time_s * a_second)))]
        said_d = scan["looks"]["distance_radii"][i]
        if said_d is not None:
            told += 1
            wrong += abs(said_d - true) > 0.1 + 0.05 * true
        if true <= 1.2:
            near += 1
            at_weld += any(s["from_s"] <= time_s < s["to_s"] and s["shows"] == "at a weld" for s in scan["stretches"])
    book.at_least("told 'at a weld' of the moments within 1.2 radii, " + title, round(100.0 * at_weld / max(1, near), 1), 90,
                  "%")
    book.figure("distances told, wrong by more than 0.1 radii and 5 %, " + title, "%d, %d" % (told, wrong))
    book.figure("seconds for a film of %.0f s, %s" % (scan["duration_s"], title), "%.1f" % seconds)


def films(book, programs, work, count):
    """Whole films (run-in, hold, look back) beside the same weld's best eight stills."""
    book.heading("Films given whole, beside the same weld's best eight stills")
    if not os.path.exists(field_scores.SCORER):
        return book.skip("films", "../shared/score is not here")
    folder = os.path.join(work, "films")
    for i, (title, conditions) in enumerate(FILMS):
        trouble = field_scores.drawn(programs, os.path.join(folder, title), count, FILM_FIRST + 100 * i,
                                     ["--film", "--plain", "--tame", "--width", "800"] + only(conditions))
        if trouble:
            return book.says("drawn, " + title, False, trouble, "all")
    _, rows, trouble = field_scores.measured_by(programs, folder, os.path.join(work, "films_out"))
    if trouble:
        return book.says("scored", False, trouble, "all")
    for title, _ in FILMS:
        for row in (r for r in rows if r["name"].split(os.sep)[0] == title):
            score = row.get("score", {})
            width = score.get("width", {})
            fusion = [score[k] for k in ("fusion_left", "fusion_right") if k in score]
            total = lambda key: sum(f[key] for f in fusion)
            book.figure(row["name"].replace(os.sep, " "),
                        "width p50 %s p95 %s mm, inside 2u %s %%, stated %s %%, runs %d of %d, false %d, fused %d" % (
                            width.get("p50", "-"), width.get("p95", "-"), width.get("inside_2u_%", "-"),
                            width.get("stated_of_in_sight_%", 0), total("found_in_sight"), total("runs_in_sight"),
                            total("false_runs"), total("called_fused")))
        for film in sorted(glob.glob(os.path.join(folder, title, "*", "film"))):
            scan_against_truth(book, programs, film, title)


def prove(quick=False):
    book = tools.Ledger()
    with tempfile.TemporaryDirectory() as work:
        programs = tools.Programs(["rootscroll", "make_field"], os.path.join(work, "programs"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        if not quick:
            shared(book, programs, work)
            heads(book, programs, work)
        own(book, programs, work, quick)
        films(book, programs, work, 1 if quick else 3)
        bare(book, programs, work, 1 if quick else 5)
        book.heading("Photographs of other things")
        photographs.never_measured(book, programs, work, 6 if quick else 1)
    return book.close()
