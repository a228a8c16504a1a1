#!/usr/bin/env python3
"""`rootscroll scan` on a made-up recording of twenty minutes with three welds, and on damaged copies of a part of it.

By itself: scripts/proofs/speed_scan.py. The recording is made once (scan_film.py, some ten minutes).
"""
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time

import scan_film
from ledger import RELEASE, ROOT, Ledger

PROGRAM = os.path.join(RELEASE, "app", "cli", "rootscroll")
STEP_S = 0.1


def scan(file, joint, *more):
    """(scan.json, seconds, processor seconds, peak MiB, what was said) of one run; scan.json None when it failed."""
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "said"), "w+") as said:
            began = time.time()
            child = subprocess.Popen([PROGRAM, "scan", file, "--joint", joint, "--out", folder, "--quiet", *more], cwd=ROOT,
                                     stdin=subprocess.DEVNULL, stdout=said, stderr=said)
            _, status, used = os.wait4(child.pid, 0)
            took = time.time() - began
            said.seek(0)
            words = said.read()
        made = None
        if os.waitstatus_to_exitcode(status) in (0, 3):
            with open(os.path.join(folder, "scan.json")) as written:
                made = json.load(written)
            keep = os.path.join(scan_film.FOLDER, os.path.basename(file) + ("_part" if more else "") + "_timeline.png")
            shutil.copy(os.path.join(folder, "timeline.png"), keep)
    return made, took, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, words


def at(stretches, second):
    """The stretch that holds this moment; None in between."""
    return next((s for s in stretches if s["from_s"] <= second < s["to_s"]), None)


def overlap(a, b):
    return max(0, min(a["to_s"], b["to_s"]) - max(a["from_s"], b["from_s"]))


def welds_of(stretches):
    """{number: from, to} of the true looks at welds."""
    welds = {}
    for s in stretches:
        if s["weld"]:
            weld = welds.setdefault(s["weld"], dict(from_s=s["from_s"], to_s=s["to_s"]))
            weld["to_s"] = s["to_s"]
    return welds


def shares(found, truth):
    """{kind: (seconds of it, share called so)}, moments without a truth left out."""
    counts = {}
    for i in range(int(truth[-1]["to_s"] / STEP_S)):
        true, said = at(truth, (i + 0.5) * STEP_S), at(found, (i + 0.5) * STEP_S)
        if true and true["shows"]:
            count = counts.setdefault(true["shows"], [0, 0])
            count[0] += 1
            count[1] += bool(said) and said["shows"] == true["shows"]
    return {kind: (n * STEP_S, right / n) for kind, (n, right) in counts.items()}


def judge_welds(own, made, stretches):
    true = welds_of(stretches)
    matched = {}
    for weld in made["welds"]:
        matched.setdefault(max(true, key=lambda n: overlap(weld, true[n])), []).append(weld)
    hits = {n: max(found, key=lambda w: overlap(w, true[n])) for n, found in matched.items()
            if any(overlap(w, true[n]) > 0 for w in found)}
    own.at_least("welds found, of %d" % len(true), len(hits), len(true))
    own.at_most("welds said besides (false, or one told twice)", len(made["welds"]) - len(hits), 0)
    edges = [abs(hits[n][end] - true[n][end]) for n in hits for end in ("from_s", "to_s")]
    own.at_most("a look at a weld: begin and end against truth, worst", round(max(edges), 1) if edges else None, 3, "s")
    for number, weld in sorted(hits.items()):
        judge_best(own, number, weld, [s for s in stretches if s["weld"] == number])
    arc = {n for n in true if any(s["weld"] == n and s["shows"] == scan_film.ARC for s in stretches)}
    own.says("welding seen at", {n for n in hits if hits[n]["arc_seen"]} == arc,
             str(sorted(n for n in hits if hits[n]["arc_seen"])), str(sorted(arc)))


def judge_best(own, number, weld, stretches):
    best = weld["best"]
    if not best:
        return own.says("weld %d: a stretch to measure by" % number, False, "none", "one in a good part")
    good = sum(overlap(best, s) for s in stretches if s["good"]) / (best["to_s"] - best["from_s"])
    own.at_least("weld %d: share of the proposed stretch in a good part" % number, round(good, 3), 1)
    bad = {"lights off": scan_film.OFF, "blurred": scan_film.SOFT, "the arc is on": scan_film.ARC}
    for why, shows in bad.items():
        spoilt = [s for s in stretches if s["shows"] == shows]
        if spoilt:
            refused = [r for r in weld["refused"] if r["why"].startswith(why)]
            told = sum(overlap(r, s) for r in refused for s in spoilt) / sum(s["to_s"] - s["from_s"] for s in spoilt)
            own.at_least("weld %d: share of its '%s' refused for just that" % (number, why), round(told, 2), 0.9)
    glare = [s for s in stretches if s["shows"] == scan_film.WELD and not s["good"]]
    if glare:
        told = sum(overlap(r, s) for r in weld["refused"] if r["why"].startswith("glare") for s in glare)
        own.at_least("weld %d: share of its overexposed part refused for glare" % number,
                     round(told / sum(s["to_s"] - s["from_s"] for s in glare), 2), 0.9)


def judge_text(own, made, stretches):
    box, parts = scan_film.TEXT_BOX, [s for s in stretches if s["text"]]

    def inside(b):
        return (b["u_px"] < box[0] + box[2] and b["u_px"] + b["width_px"] > box[0] and
                b["v_px"] < box[1] + box[3] and b["v_px"] + b["height_px"] > box[1])
    texts = [b for b in made["burned_in"] if inside(b)]
    told = sum(max(overlap(b, p) for b in texts) for p in parts) if texts and "from_s" in texts[0] else 0
    own.at_least("burned-in text: share of its time told", round(told / sum(p["to_s"] - p["from_s"] for p in parts), 2), 0.9)
    parted = sum(b["to_s"] - b["from_s"] for b in texts) - told
    own.at_most("burned-in text: time told that has none (windows of 5 s)", round(parted, 1), 5.0 * 2 * len(texts), "s")
    own.at_most("burned-in marks told where there is none", len(made["burned_in"]) - len(texts), 0)


def judge_film(own, truth):
    made, took, used, peak, words = scan(os.path.join(scan_film.FOLDER, "film.mkv"), truth["joint"])
    if not made:
        return own.says("scan of twenty minutes", False, words[-200:], "exit 0")
    stretches = truth["stretches"]
    judge_welds(own, made, stretches)
    for kind, (seconds, share) in sorted(shares(made["stretches"], stretches).items()):
        own.at_least("'%s', %.0f s of it: share of the time called so" % (kind, seconds), round(share, 3), 0.9)
    judge_text(own, made, stretches)
    own.at_most("damage told where there is none", len(made["damage"]), 0)
    length = stretches[-1]["to_s"]
    own.at_least("speed: %.0f s of recording in %.0f s (%.0f s of processor): times real time" % (length, took, used),
                 round(length / took, 1), 10)
    _, _, _, first, _ = scan(os.path.join(scan_film.FOLDER, "film.mkv"), truth["joint"], "--seconds", "60")
    own.figure("peak memory after one minute, after twenty", "%.0f MiB, %.0f MiB" % (first, peak))
    own.at_most("growth of the peak from one minute to twenty", round(peak - first, 1), 10, "MiB")


def judge_damaged(own, truth, name):
    """Overwritten bytes and a missing end: told, and nothing else spoilt."""
    lost = truth["damaged"]["files"][name]
    made, _, _, _, words = scan(os.path.join(scan_film.FOLDER, name), truth["joint"])
    if not made:
        return own.says(name, False, words[-200:], "exit 0")
    told = [s for s in made["stretches"] if s["shows"] == "damaged"]
    hit = sum(overlap(s, lost) for s in told)
    own.says("%s: overwritten bytes told" % name, hit > 0, "%.1f of %.1f s" % (hit, lost["to_s"] - lost["from_s"]), "yes")
    end = {"from_s": lost["ends_s"], "to_s": lost["whole_s"]}
    own.at_least("%s: missing end told, share" % name,
                 round(sum(overlap(s, end) for s in told) / (end["to_s"] - end["from_s"]), 2), 0.9)
    own.at_most("%s: time called damaged that is not" % name,
                round(sum(s["to_s"] - s["from_s"] for s in told) - hit - sum(overlap(s, end) for s in told), 1), 2, "s")
    begin = truth["damaged"]["begins_s"]
    moved = [dict(s, from_s=s["from_s"] - begin, to_s=s["to_s"] - begin) for s in truth["stretches"]]
    kept = [dict(s, to_s=min(s["to_s"], lost["ends_s"])) for s in moved if 0 <= s["from_s"] < lost["ends_s"]]
    own.says("%s: the weld is still found" % name, len(made["welds"]) == 1 and
             any(overlap(made["welds"][0], s) > 0 for s in kept if s["weld"] == 2), str(len(made["welds"])), "1")
    best = made["welds"][0]["best"] if made["welds"] else None
    own.says("%s: its proposed stretch lies in a good part" % name, best and
             sum(overlap(best, s) for s in kept if s["good"]) > 0.999 * (best["to_s"] - best["from_s"]),
             "%.1f to %.1f s" % (best["from_s"], best["to_s"]) if best else "none", "in a good part")


def prove(ledger=None):
    own = ledger or Ledger()
    own.heading("scan of twenty minutes, %s at %d Hz, H.264, three welds (load %.1f)" %
                (scan_film.SIZE, scan_film.FPS, os.getloadavg()[0]))
    if not all(map(shutil.which, ("ffmpeg", "ffprobe"))) or not os.path.exists(PROGRAM):
        own.skip("scan of twenty minutes", "needs ffmpeg and the built programs")
    else:
        truth = scan_film.film()
        judge_film(own, truth)
        for name in truth["damaged"]["files"]:
            judge_damaged(own, truth, name)
    return own.close() if ledger is None else 0


if __name__ == "__main__":
    sys.exit(prove())
