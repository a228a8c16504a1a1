#!/usr/bin/env python3
"""Speed of the steps: live use at 1920 x 1080, unrolling beside OpenCV's and scikit-image's own, growth, peak memory.

By itself: scripts/proofs/speed_bench.py [folder for growth.png]. CPU time of one thread counts, so a shared machine
tells nearly the same as an idle one. Without matplotlib there is no picture, without scikit-image no comparison with it.
"""
import json
import math
import os
import re
import subprocess
import sys

from ledger import RELEASE, ROOT, Ledger

BENCH = os.path.join(RELEASE, "tests", "bench", "rootscroll_live_bench")
PYTHON = "/usr/bin/python3" if os.path.exists("/usr/bin/python3") else sys.executable  # has Debian's modules
PLOT = """
import json, sys, matplotlib
matplotlib.use("Agg")
import matplotlib.pyplot as plt
kinds = json.load(sys.stdin)
figure, all_axes = plt.subplots(1, len(kinds), figsize=(5 * len(kinds), 4))
for axes, kind in zip(all_axes, kinds):
    axes.loglog(*zip(*kind["points"]), "o-")
    axes.set_title("%s: exponent %.2f" % (kind["what"].split(",")[0], kind["exponent"]), fontsize=10)
    values = [x for x, _ in kind["points"]]
    axes.set_xticks(values, ["%g" % x if x < 1e5 else "%.2g M" % (x / 1e6) for x in values])
    axes.minorticks_off()
    axes.set_xlabel(kind["unit"]), axes.set_ylabel("CPU ms")
figure.suptitle(sys.argv[2], fontsize=8)
figure.tight_layout()
figure.savefig(sys.argv[1], dpi=90)
"""
SCIKIT = """
import time, numpy as np
from skimage.transform import warp_polar
picture = np.random.default_rng(1).integers(0, 255, (1080, 1920, 3), dtype=np.uint8)
began = time.process_time()
warp_polar(picture, center=(539.5, 959.5), radius=539, output_shape=(%d, %d), channel_axis=-1, order=3)
print("cpu_ms", 1000 * (time.process_time() - began))
print("peak_mib", [int(l.split()[1]) / 1024 for l in open("/proc/self/status") if l.startswith("VmHWM")][0])
"""


def machine():
    with open("/proc/cpuinfo") as file:
        names = re.findall(r"model name\s*: (.*)", file.read())
    return "%d x %s, load %.1f" % (len(names), names[0] if names else "?", os.getloadavg()[0])


def bench(which, repetitions=3):
    """{name: (median CPU ms, cells)} of the benchmarks that match, their process's peak MiB, other lines."""
    done = subprocess.run([BENCH, "--benchmark_filter=" + which, "--benchmark_format=json", "--benchmark_min_time=0.1",
                           "--benchmark_repetitions=%d" % repetitions], cwd=ROOT, capture_output=True, text=True)
    end = done.stdout.rindex("}") + 1 if "}" in done.stdout else 0
    runs = {}
    for run in (json.loads(done.stdout[:end])["benchmarks"] if end else []):
        if run["run_type"] == "iteration" and not run.get("error_occurred"):
            name = run["run_name"].replace("/iterations:40", "")
            runs.setdefault(name, []).append((run["cpu_time"], run.get("cells")))
    tail = done.stdout[end:]
    peak = re.search(r"peak_mib ([\d.]+)", tail)
    return ({name: sorted(values)[len(values) // 2] for name, values in runs.items()},
            float(peak.group(1)) if peak else None, tail)


def exponent(points):
    """Slope of log time over log size, least squares."""
    xs, ys = [math.log(x) for x, _ in points], [math.log(y) for _, y in points]
    mx, my = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - mx) * (y - my) for x, y in zip(xs, ys)) / sum((x - mx) ** 2 for x in xs)


def growth_picture(growth, folder):
    os.makedirs(folder, exist_ok=True)
    file = os.path.join(folder, "growth.png")
    kinds = [{"what": what, "unit": what.split(", ")[-1], "points": points, "exponent": exponent(points)}
             for what, points in growth.items()]
    done = subprocess.run([PYTHON, "-c", PLOT, file, machine()], input=json.dumps(kinds), capture_output=True, text=True)
    return file if done.returncode == 0 else None


def live(ledger):
    ledger.heading("Live at 1920 x 1080 (%s)" % machine())
    times, peak, _ = bench("Live")
    for name, what in (("LiveDrawing", "reduced picture"), ("LiveTrack", "pose from the last frame"),
                       ("LiveStrip", "remap, all wall in reach anew"), ("LiveToes", "toes follow")):
        ledger.figure(what, "%.2f ms" % times[name][0] if name in times else "did not run")
    ledger.at_least("pose, remap and toes together, one thread: frames a second (goal 60)",
                    round(1000 / times["LiveAll"][0], 1) if "LiveAll" in times else None, 25, "Hz")
    ledger.figure("peak memory of this process", "%s MiB" % peak)


def beside_others(ledger):
    ledger.heading("Unrolling a strip of 0.1 mm cells beside library calls of the same size")
    names = ("CvRemap", "UnrollKeptMap", "BuildMap", "MapAndUnroll", "BlocksLaidFlat", "CvWarpPolar", "CvWarpPolarLinear")
    t, cells, tail = {}, {}, ""
    for name in names:  # a process each, so that each has its own peak memory
        times, peak, tail = bench("^%s/10$" % name)
        t[name], cells[name] = times.get(name + "/10", (math.nan, math.nan))
        ledger.figure(name, "%.1f ms, %.1f ns a cell, %s MiB" % (t[name], 1e6 * t[name] / cells[name], peak))
    ledger.at_most("unroll with its map kept / cv::remap alone", round(t["UnrollKeptMap"] / t["CvRemap"], 2), 1.1)
    ledger.at_most("map + unroll, bicubic / cv::warpPolar, bicubic", round(t["MapAndUnroll"] / t["CvWarpPolar"], 2), 1)
    ledger.at_most("live blocks / cv::warpPolar, both bilinear, a cell",
                   round(t["BlocksLaidFlat"] / cells["BlocksLaidFlat"] / t["CvWarpPolarLinear"] * cells["CvWarpPolarLinear"],
                         2), 1)
    off = re.search(r"polar_error off_axis_mm (\S+) rms_mm (\S+) worst_mm (\S+)", tail)
    ledger.figure("error of a polar unrolling, camera %s mm off the axis, one radius ahead" % (off.group(1) if off else "?"),
                  "%s mm rms, %s worst" % off.group(2, 3) if off else "none")
    rows = 401
    done = subprocess.run([PYTHON, "-c", SCIKIT % (round(cells["CvWarpPolar"] / rows), rows)], capture_output=True,
                          text=True)
    cpu = re.search(r"cpu_ms ([\d.]+)\npeak_mib ([\d.]+)", done.stdout)
    if not cpu:
        return ledger.skip("scikit-image's polar warp", "python3-skimage is not installed")
    ledger.figure("scikit-image warp_polar, bicubic", "%.0f ms, %s MiB" % (float(cpu.group(1)), cpu.group(2)))
    ledger.at_most("map + unroll / scikit-image", round(t["MapAndUnroll"] / float(cpu.group(1)), 3), 1)


def growth(ledger, folder):
    ledger.heading("Growth")
    kinds = {"unroll, cells": "MapAndUnroll", "merge, frames": "MergeFrames", "ring, radius mm": "RingSize"}
    points = {}
    for what, name in kinds.items():
        times, _, _ = bench("^%s/" % name)
        points[what] = sorted((cells or float(full.split("/")[1]), ms) for full, (ms, cells) in times.items())
        ledger.at_most("exponent of %s" % what, round(exponent(points[what]), 2), 1.2)
    file = growth_picture(points, folder)
    ledger.figure("plot", file or "no matplotlib, no picture")


def prove(ledger=None, folder=os.path.join(ROOT, "build", "speed")):
    own = ledger or Ledger()
    if not os.path.exists(BENCH):
        own.skip("speed of the steps", "build rootscroll_live_bench first")
        return own.close() if ledger is None else 0
    live(own)
    beside_others(own)
    growth(own, folder)
    return own.close() if ledger is None else 0


if __name__ == "__main__":
    sys.exit(prove(folder=sys.argv[1]) if len(sys.argv) > 1 else prove())
