#!/usr/bin/env python3
"""`rootscroll watch` on a stream that ffmpeg serves on loopback at 30 frames a second; its plug is pulled and restored.

By itself: scripts/proofs/speed_watch.py [seconds, default 60]. The stream is the demo's push, forth and back without end.
"""
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time

from ledger import RELEASE, ROOT, Ledger

PROGRAM = os.path.join(RELEASE, "app", "cli", "rootscroll")
DEMO = os.path.join(ROOT, "fixtures", "demo")


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def make_swing(folder):
    """The push forth and back, every frame held twice (so 1.5 mm a frame on average), H.264."""
    file = os.path.join(folder, "swing.mp4")
    subprocess.run(["ffmpeg", "-v", "error", "-y", "-i", os.path.join(DEMO, "push.avi"), "-filter_complex",
                    "[0]split[a][b];[b]reverse[c];[a][c]concat=n=2,fps=30", "-r", "30", "-c:v", "libx264", "-preset",
                    "veryfast", "-crf", "18", "-g", "30", "-pix_fmt", "yuv420p", file], check=True)
    return file


def serve(file, port):
    return subprocess.Popen(["ffmpeg", "-v", "quiet", "-re", "-stream_loop", "-1", "-i", file, "-c", "copy", "-f",
                             "mpegts", "-listen", "1", "http://127.0.0.1:%d/live" % port], stdin=subprocess.DEVNULL)


def watch(folder, seconds):
    """The figures of a run during which the plug was out for 5 s in the middle."""
    file, port = make_swing(folder), free_port()
    server = serve(file, port)
    try:
        time.sleep(1)
        program = subprocess.Popen([PROGRAM, "watch", "http://127.0.0.1:%d/live" % port, "--joint",
                                    os.path.join(DEMO, "joint.json"), "--camera", "head-video", "--up-theta-deg", "180.97",
                                    "--seconds", str(seconds), "--out", folder, "--quiet"], cwd=ROOT)
        time.sleep(seconds / 2)
        server.kill(), server.wait()
        time.sleep(5)
        server = serve(file, port)
        code = program.wait(timeout=seconds + 60)
    finally:
        server.kill(), server.wait()
    if code != 0:
        return None
    with open(os.path.join(folder, "watch.json")) as made:
        return json.load(made)


def prove(ledger=None, seconds=60):
    own = ledger or Ledger()
    own.heading("watch, 960 x 720 at 30 Hz from ffmpeg on loopback, %d s, plug out once (load %.1f)" %
                (seconds, os.getloadavg()[0]))
    if not shutil.which("ffmpeg") or not os.path.exists(PROGRAM):
        own.skip("watch on a stream", "needs ffmpeg and the built program")
    else:
        with tempfile.TemporaryDirectory() as folder:
            judge(own, watch(folder, seconds))
    return own.close() if ledger is None else 0


def judge(own, made):
    if made is None:
        return own.says("watch on a stream", False, "it failed", "exit 0")
    frames, latency, memory = made["frames"], made["latency_ms"], made["memory_mib"]
    own.figure("frames came, processed, dropped", "%(came)d, %(processed)d, %(dropped)d" % frames)
    own.at_least("share of the frames that were processed", round(frames["processed"] / max(1, frames["came"]), 3), 0.8)
    own.at_least("share of the processed frames with a pose",
                 round(1 - frames["no_pose"] / max(1, frames["processed"]), 3), 0.95)
    own.figure("latency 50, 95, 99 %", "%(p50).1f, %(p95).1f, %(p99).1f ms" % latency)
    own.at_most("latency at 95 % (a frame at 25 Hz is 40 ms; two of them)", latency["p95"], 80, "ms")
    own.figure("memory at start, end, peak", "%(start).0f, %(end).0f, %(peak).0f MiB" % memory)
    outages = made["outages"]
    own.says("the plug's pull is told, and the stream is taken up again",
             len(outages) == 1 and outages[0]["lasted_s"] is not None,
             ", ".join("%s s" % outage["lasted_s"] for outage in outages) or "none", "one gap, ended")


if __name__ == "__main__":
    sys.exit(prove(seconds=int(sys.argv[1])) if len(sys.argv) > 1 else prove())
