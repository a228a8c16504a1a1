"""Measuring the two folders of a pair through the command, and comparing them."""
import json
import os

import ledger as tools


def measure(programs, scene, out):
    joint = os.path.join(scene, "joint.json")
    recording = json.load(open(joint))["recordings"][0]["id"]
    code, said, _ = tools.run([programs.path("rootscroll"), "measure", joint, "--recording", recording, "--out", out])
    return "" if os.path.exists(os.path.join(out, "reading.json")) else "exit %d: %s" % (code, said.strip()[-200:])


def compare(programs, before, after, joint, places):
    words = [programs.path("rootscroll"), "--json", "compare", before, after, "--joint", joint]
    for theta, z, length in places:
        words += ["--theta", "%g" % theta, "--z", "%g" % z, "--length", "%g" % length]
    code, said, _ = tools.run(words)
    start = said.find("{\n")
    return (json.loads(said[start:said.rindex("}") + 1]), "") if code == 0 and start >= 0 else (None, said[-300:])
