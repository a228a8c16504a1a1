"""The band, the live view and the played moment in the window: what a program can say of them; the pictures are for eyes."""
import json
import os
import re
import tempfile

import ledger as tools
import speed_arc

PICTURES = ("timeline", "timeline_frame", "timeline_dark", "timeline_spanish", "live", "live_ended")
KIND = "plain"


def figures(said):
    return {m[1]: float(m[2]) for m in re.finditer(r"^figure: (\w+) ([\d.]+)", said, re.M)}


def moment_played(book, found, folder):
    """The first picture played against the true moment at which the torch stood there."""
    with open(os.path.join(folder, "truth.json")) as file:
        frames = json.load(file)["frames"]
    theta, first_s = found.get("welded_theta_deg"), found.get("welded_first_s")
    if theta is None:
        return book.says("the moment a place was welded", False, "nothing played", "a picture")
    there = [f["time_s"] for f in frames if f["arc_on"] and abs(speed_arc.turned(f["theta_deg"] - theta)) < 2.5]
    apart = min((abs(t - 1 - first_s) for t in there), default=None)  # it begins a second before
    book.at_most("moment played at %.1f degrees, against the torch's true moments within 2.5 degrees" % theta,
                 None if apart is None else round(apart, 2), 0.5, "s")


def prove(book):
    book.heading("The window: timeline, live view, the moment a place was welded (pictures are for eyes)")
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    out = os.path.join(tools.ROOT, "build", "speed_pictures")
    os.makedirs(out, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="prove-") as work:
        os.environ.setdefault("XDG_RUNTIME_DIR", work)
        programs = tools.Programs(["viewer_test", "viewer_recording_shots"], os.path.join(work, "bin"))
        if programs.trouble:
            return book.says("the window's programs build", False, programs.trouble[-200:], "built")
        code, said, _ = tools.run([programs.path("viewer_test"), "--gtest_filter=Timeline*:Live*:FilmCard*"])
        book.says("tests of timeline, live view and playing", code == 0 and "[  PASSED  ]" in said, "exit %d" % code,
                  "exit 0")
        folder = speed_arc.film(KIND)
        followed = os.path.exists(os.path.join(folder, "out", "arc.json"))
        code, said, _ = tools.run([programs.path("viewer_recording_shots"), out] + ([folder] if followed else []))
        found = figures(said)
        book.says("driven through band, live view and playing", code == 0, "exit %d" % code, "exit 0")
        book.at_most("event loop blocked, longest, while a film is sorted", found.get("scan_longest_block_ms"), 100, "ms")
        book.at_most("event loop blocked, longest, live", found.get("live_longest_block_ms"), 100, "ms")
        book.at_least("pictures shown live of 190 frames in 19 s", found.get("live_shown"), 95)
        book.figure("from a frame's arrival to the screen, median and 95 %",
                    "%s and %s ms" % (found.get("live_screen_p50_ms"), found.get("live_screen_p95_ms")))
        book.at_least("share of the ring seen at the end of the push", found.get("live_covered"), 0.99)
        moment_played(book, found, folder)
        missing = [p for p in PICTURES + ("welded_moment",)
                   if not os.path.exists(os.path.join(out, p + ".png")) or "picture: %s.png" % p not in said]
        book.says("pictures made, in build/speed_pictures", not missing, "missing: " + ", ".join(missing) if missing
                  else "all", "all")
