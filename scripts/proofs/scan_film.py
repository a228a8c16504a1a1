"""A recording of twenty minutes with three welds, rendered and spliced, with what was put where; and damaged copies.

Every stretch is made of frames that the scene maker rendered along one travel, five a second, shown at 25; what is bad
is made bad by a filter. Between stretches the camera jumps. Kept under build/scan_film, made anew when this file changes.
"""
import hashlib
import json
import os
import shutil
import subprocess

from ledger import RELEASE, ROOT

FOLDER = os.path.join(ROOT, "build", "scan_film")
SCENE = os.path.join(RELEASE, "fixtures", "scene")
SIZE, FPS, KEY = "960x720", 25, 50
NOISE = "noise=alls=4:allf=t"
DARK = "lutyuv=y=16+(val-16)*0.03"
BLUR = "gblur=sigma=8"
BRIGHT = "lutyuv=y=min(235\\,16+(val-16)*2.6)"
TEXT_BOX = (40, 40, 420, 46)  # where the text stands at the most, px: u, v, width, height
TEXT = "drawtext=text='LINE 7 JOINT 12 REC':x=46:y=46:fontsize=34:fontcolor=white"

# (shows, rendered piece, its part from s, length s, backward, filter, weld, good to measure by)
TRAVEL, WELD, ARC, OFF, SOFT = "travelling", "at a weld", "welding", "lights off", "blurred"
PUSH_S, HOLD_S = 24, 8  # a push comes nearer for PUSH_S; HOLD_S more of it stands still
PARTS = (
    (TRAVEL, "travel_4", 0, 170, False, "", 0, False),
    (WELD, "push_4", 0, PUSH_S, False, "", 1, True),
    (WELD, "push_4", PUSH_S, HOLD_S, False, "", 1, True),
    (WELD, "push_4", 0, PUSH_S, True, "", 1, True),
    (TRAVEL, "travel_6", 0, 154, False, "", 0, False),
    (OFF, "travel_6", 154, 12, False, DARK, 0, False),
    (TRAVEL, "travel_6", 166, 108, False, "", 0, False),
    (SOFT, "push_6", 0, PUSH_S, False, BLUR, 2, False),
    (OFF, "push_6", PUSH_S, HOLD_S, False, DARK, 2, False),
    (WELD, "push_6", PUSH_S, HOLD_S, False, BRIGHT, 2, False),
    (WELD, "push_6", 12, 20, True, "", 2, True),
    (SOFT, "push_6", 0, 12, True, BLUR, 2, False),
    (TRAVEL, "travel_9", 0, 60, False, "", 0, False),
    (TRAVEL, "travel_9", 60, 120, False, TEXT, 0, False),
    (TRAVEL, "travel_9", 180, 40, False, "", 0, False),
    (None, "arc_9", 0, 0, False, "", 3, False),  # as long as it is; what it shows is in its own truth
    (WELD, "push_9", 0, PUSH_S, False, TEXT, 3, True),
    (SOFT, "push_9", PUSH_S, HOLD_S, False, BLUR + "," + TEXT, 3, False),
    (WELD, "push_9", 0, PUSH_S, True, "", 3, True),
    (TRAVEL, "travel_10", 0, 90, False, "", 0, False),
    (OFF, "travel_10", 90, 15, False, DARK, 0, False),
    (TRAVEL, "travel_10", 105, 85, False, "", 0, False),
    (SOFT, "travel_10", 190, 12, False, BLUR, 0, False),
    (TRAVEL, "travel_10", 202, 130, False, "", 0, False),
)
KIND = {4: "unfused_mixed", 6: "fused", 9: "fused"}  # seeds whose bore is 102 mm wide


def run(*words):
    done = subprocess.run(words, stdin=subprocess.DEVNULL, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError("%s: %s" % (words[0], done.stderr[-300:]))
    return done.stdout


def ffmpeg(*words):
    return run("ffmpeg", "-v", "error", "-y", *map(str, words))


def piece(name):
    """The rendered piece's video at five frames a second; rendered when it is not there."""
    folder = os.path.join(FOLDER, name)
    video = os.path.join(folder, "film.avi")
    if os.path.exists(video) and os.path.exists(os.path.join(folder, "truth.json")):
        return video
    shutil.rmtree(folder, ignore_errors=True)
    kind, seed = name.split("_")
    if kind == "push":
        run(os.path.join(SCENE, "make_scene"), folder, "--kind", KIND[int(seed)], "--seed", seed, "--frames",
            str(5 * PUSH_S), "--size", SIZE)
        ffmpeg("-framerate", 5, "-i", os.path.join(folder, "frame_%03d.jpg"), "-vf", "tpad=stop_mode=clone:stop_duration=%d"
               % HOLD_S, "-c:v", "mjpeg", "-q:v", 2, video)
    elif kind == "travel":
        run(os.path.join(SCENE, "make_arc"), folder, "--kind", "travel", "--seed", seed, "--fps", "5", "--seconds",
            str(max(a + n for _, p, a, n, *_ in PARTS if p == name)), "--size", SIZE, "--radius", "51.1")
    else:
        run(os.path.join(SCENE, "make_arc"), folder, "--kind", "plain", "--seed", seed, "--fps", "5", "--sweep", "80",
            "--size", SIZE, "--radius", "51.1")
    return video


def arc_truth(begin):
    """Stretches of the welding film; None where the camera is set for the arc and there is none."""
    with open(os.path.join(FOLDER, "arc_9", "truth.json")) as file:
        frames = json.load(file)["frames"]
    rows = []
    for frame in frames:
        shows = ARC if frame["arc_on"] else WELD if frame["looking"] else None
        if not rows or rows[-1][0] != shows:
            rows.append([shows, frame["time_s"], 0])
        rows[-1][2] = frame["time_s"] + 0.2
    return [dict(shows=shows, from_s=begin + a, to_s=begin + b, weld=3, good=shows == WELD, text=False)
            for shows, a, b in rows]


def splice():
    """Encodes every part and joins them; returns the truth."""
    truth, names, clock = [], [], 0
    for index, (shows, name, begin, length, backward, spoil, weld, good) in enumerate(PARTS):
        source, part = piece(name), os.path.join(FOLDER, "part_%02d.mkv" % index)
        cut = "trim=%g:%g,setpts=PTS-STARTPTS," % (begin, begin + length) if length else ""
        steps = cut + ("reverse," if backward else "") + "fps=%d,format=yuv420p," % FPS + (spoil + "," if spoil else "")
        ffmpeg("-i", source, "-vf", steps + NOISE, "-c:v", "libx264", "-preset", "superfast", "-crf", 27, "-g", KEY, part)
        length = float(run("ffprobe", "-v", "error", "-show_entries", "format=duration", "-of", "csv=p=0", part))
        truth += [dict(shows=shows, from_s=clock, to_s=clock + length, weld=weld, good=good, text="drawtext" in spoil)
                  ] if shows else arc_truth(clock)
        names.append("file '%s'\n" % part)
        clock += length
    listed = os.path.join(FOLDER, "parts.txt")
    with open(listed, "w") as file:
        file.writelines(names)
    ffmpeg("-f", "concat", "-safe", 0, "-i", listed, "-c", "copy", os.path.join(FOLDER, "film.mkv"))
    for index in range(len(PARTS)):
        os.remove(os.path.join(FOLDER, "part_%02d.mkv" % index))
    return truth


def packets(file):
    """(time s, place in the file, key frame?) of each frame."""
    rows = run("ffprobe", "-v", "error", "-select_streams", "v", "-show_entries", "packet=pts_time,pos,flags", "-of", "csv=p=0",
               file)
    return sorted((int(pos), float(time), "K" in flags) for time, pos, flags in
                  (row.split(",")[:3] for row in rows.split() if "N/A" not in row))


def spoil(source, target, share, length, keep):
    """Overwrites `length` bytes at `share` of the file and cuts the end off; the times that this destroys."""
    with open(source, "rb") as file:
        content = bytearray(file.read())
    begin, end = int(share * len(content)), int(keep * len(content))
    content[begin:begin + length] = bytes((i * 7919 >> 3) & 255 for i in range(length))
    with open(target, "wb") as file:
        file.write(content[:end])
    found = packets(source)
    first = max(i for i, (pos, _, _) in enumerate(found) if pos <= begin)
    after = next(time for pos, time, key in found if pos >= begin + length and key)
    last = max(time for pos, time, _ in found if pos < end)
    return {"from_s": found[first][1], "to_s": after, "ends_s": last, "whole_s": max(time for _, time, _ in found)}


def damaged(truth):
    """Two damaged copies of the second weld's surroundings, H.264 and motion JPEG: {file: what was destroyed}."""
    begin = min(t["from_s"] for t in truth if t["weld"] == 2) - 40
    made = {}
    for name, codec, share in (("damaged.mkv", ["-c:v", "libx264", "-preset", "superfast", "-crf", "27", "-g", str(KEY)], 0.2),
                               ("damaged.avi", ["-c:v", "mjpeg", "-q:v", "5", "-r", "10"], 0.15)):
        whole = os.path.join(FOLDER, "whole_" + name)
        ffmpeg("-ss", begin, "-t", 130, "-i", os.path.join(FOLDER, "film.mkv"), *codec, whole)
        made[name] = spoil(whole, os.path.join(FOLDER, name), share, 60000, 0.85)
        os.remove(whole)
    return {"begins_s": begin, "files": made}


def film():
    """The truth: {stretches, damaged, joint}; everything is made when it is not there."""
    with open(__file__, "rb") as file:
        mark = hashlib.sha256(file.read()).hexdigest()
    kept = os.path.join(FOLDER, "film_truth.json")
    if os.path.exists(kept):
        with open(kept) as file:
            truth = json.load(file)
        if truth["mark"] == mark:
            return truth
    os.makedirs(FOLDER, exist_ok=True)
    stretches = splice()
    truth = {"mark": mark, "stretches": stretches, "damaged": damaged(stretches),
             "joint": os.path.join(FOLDER, "push_4", "joint.json")}
    with open(kept, "w") as file:
        json.dump(truth, file, indent=1)
    return truth


if __name__ == "__main__":
    print(json.dumps(film(), indent=1))
