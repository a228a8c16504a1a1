"""Whole films (run-in, hold, look back) of our own maker: measured, sorted, and an hour of them in bounded memory."""
import glob
import json
import os
import struct

import field_scores
import ledger as tools

FILM_FIRST = 730001  # nothing was fitted on these numbers
FILMS = (("plain", []), ("dam and hoses", ["dam", "hoses"]), ("elbow", ["elbow"]), ("coarse", ["coarse"]))


def only(conditions):
    return [word for condition in conditions for word in ("--only", condition)]


def at_truth(scan, truth):
    """Of the moments looked at: distances told and wrong by more than 0.1 radii and 5 %; moments within 1.2 radii, and of
    these called 'at a weld'."""
    distance = [-f["C"][2] / truth["R"] for f in truth["frames"]]
    a_second = scan["frames"] / max(0.1, scan["duration_s"])
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
    return told, wrong, near, at_weld


def scanned(programs, film, out, joint=None):
    """scan.json or None, exit code, processor seconds, peak memory in MiB."""
    code, used = tools.used_by([programs.path("rootscroll"), "scan", film, "--out", out, "--quiet"] +
                               (["--joint", joint] if joint else []))
    path = os.path.join(out, "scan.json")
    made = json.load(open(path)) if code in (0, 3) and os.path.exists(path) else None
    return made, code, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def scan_against_truth(book, programs, folder, title):
    scan, code, seconds, _ = scanned(programs, os.path.join(folder, "film.avi"), os.path.join(folder, "scan"),
                                     os.path.join(folder, "joint.json"))
    if not scan:
        return book.says("scanned, " + title, False, "exit %d" % code, "exit 0 or 3")
    told, wrong, near, at_weld = at_truth(scan, json.load(open(os.path.join(folder, "truth.json"))))
    book.at_least("told 'at a weld' of the moments within 1.2 radii, " + title, round(100.0 * at_weld / max(1, near), 1), 90,
                  "%")
    book.figure("distances told, wrong by more than 0.1 radii and 5 %, " + title, "%d, %d" % (told, wrong))
    book.at_most("seconds of one core a second of film, " + title, round(seconds / scan["duration_s"], 2), 1)


def told_of(score):
    width = score.get("width", {})
    fusion = [score[k] for k in ("fusion_left", "fusion_right") if k in score]

    def total(key):
        return sum(f[key] for f in fusion)
    return "width p50 %s p95 %s mm, inside 2u %s %%, stated %s %%, runs %d of %d, false %d, fused %d" % (
        width.get("p50", "-"), width.get("p95", "-"), width.get("inside_2u_%", "-"), width.get("stated_of_in_sight_%", 0),
        total("found_in_sight"), total("runs_in_sight"), total("false_runs"), total("called_fused"))


def beside_stills(book, rows):
    """No floor in the issue but for what is called fused; the film is to do about as well as the same weld's best stills."""
    by_name = {row["name"]: row.get("score", {}) for row in rows}
    for name in sorted(by_name):
        book.figure(name.replace(os.sep, " "), told_of(by_name[name]))
    films = [name for name in by_name if name.endswith("film")]

    def runs(names, key):
        return sum(by_name[n][f][key] for n in names for f in ("fusion_left", "fusion_right") if f in by_name[n])
    stills = [name[:-len("film")] + "stills" for name in films]
    book.at_least("unfused runs in sight found in films (as in stills)", runs(films, "found_in_sight"),
                  runs([s for s in stills if s in by_name], "found_in_sight"))
    book.at_most("runs called fused in films and stills", runs(by_name, "called_fused"), 0)


def films(book, programs, work, count):
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
    beside_stills(book, rows)
    for title, _ in FILMS:
        for film in sorted(glob.glob(os.path.join(folder, title, "*", "film"))):
            scan_against_truth(book, programs, film, title)


def looped(source, target, frames):
    """A motion JPEG AVI over and over, until it holds so many frames."""
    data = open(source, "rb").read()
    movi = data.index(b"movi") - 8  # LIST, size, movi
    end, at, pictures = movi + 8 + struct.unpack_from("<I", data, movi + 4)[0], movi + 12, []
    while at + 8 <= end:
        size = struct.unpack_from("<I", data, at + 4)[0]
        if data[at:at + 4] in (b"00dc", b"00db"):
            pictures.append(data[at:at + 8 + size + size % 2])
        at += 8 + size + size % 2
    head = bytearray(data[:movi])
    struct.pack_into("<I", head, head.index(b"avih") + 8 + 16, frames)
    struct.pack_into("<I", head, head.index(b"strh") + 8 + 32, frames)
    total = sum(len(pictures[i % len(pictures)]) for i in range(frames))
    struct.pack_into("<I", head, 4, len(head) + 12 + total + 8 + 16 * frames - 8)
    with open(target, "wb") as out:
        out.write(head + b"LIST" + struct.pack("<I", 4 + total) + b"movi")
        index, offset = [], 4
        for i in range(frames):
            picture = pictures[i % len(pictures)]
            out.write(picture)
            index.append(b"00dc" + struct.pack("<III", 16, offset, struct.unpack_from("<I", picture, 4)[0]))
            offset += len(picture)
        out.write(b"idx1" + struct.pack("<I", 16 * frames) + b"".join(index))


def an_hour(book, programs, work, quick):
    """The same small film over and over: an hour without a camera (the search of structure takes as long as the film), and as
    much of it with one as there is time for."""
    book.heading("An hour of film")
    folder = os.path.join(work, "hour")
    trouble = field_scores.drawn(programs, folder, 1, FILM_FIRST, ["--film", "--plain", "--tame", "--width", "400"])
    found = glob.glob(os.path.join(folder, "*", "film"))
    if trouble or not found:
        return book.says("drawn", False, trouble, "one film")
    film, peaks = found[0], {}
    for name, seconds, joint in (("an hour", 3600, False), ("a minute", 60, False),
                                 ("with its camera, %d s" % (120 if quick else 600), 120 if quick else 600, True),
                                 ("with its camera, a minute", 60, True)):
        long = os.path.join(film, "long.avi")
        looped(os.path.join(film, "film.avi"), long, 10 * seconds)
        scan, code, used, peaks[name] = scanned(programs, long, os.path.join(film, "out"),
                                                os.path.join(film, "joint.json") if joint else None)
        book.says("scanned, " + name, scan and abs(scan["frames"] - 10 * seconds) <= 1,
                  "exit %d, %.0f s of one core, %.0f MiB" % (code, used, peaks[name]), "all frames")
    names = list(peaks)
    book.at_most("memory of an hour over that of a minute", round(peaks[names[0]] - peaks[names[1]]), 60, "MiB")
    book.at_most("the same with its camera", round(peaks[names[2]] - peaks[names[3]]), 60, "MiB")
