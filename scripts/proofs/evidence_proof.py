"""What issue M promised of the fitted reader alone, at true poses, on ../shared/field: figures beside floors."""
import json
import os

import numpy as np

from evidence_known import folders, load, run_counts, toe_numbers
from ledger import RELEASE, ROOT, SHARED, Ledger


def prove():
    ledger, root = Ledger(), os.path.join(SHARED, "field")
    program = os.path.join(RELEASE, "fixtures/training/read_known")
    if not os.path.isdir(root):
        ledger.skip("field", "../shared/field is not there")
        return ledger.close()
    trust = json.load(open(os.path.join(ROOT, "vision/evidence/model/strip_reader.json")))
    rows = [row for folder in folders(root, "") for row in load(program, folder, False)]
    ledger.heading("The reader at true poses, %d frames (build read_known first)" % len(rows))
    for side, name, floor in ((0, "near toe", 0.40), (1, "far toe", 0.60)):
        e, u, told, sight, blind_told, blind, per = toe_numbers(rows, trust, side)
        ledger.at_most(name + " in sight, 95th percentile", round(float(np.percentile(e, 95)), 2), floor, "mm")
        ledger.at_least(name + " inside 2u", round(100 * float(np.mean(e < 2 * u)), 1), 93, "%")
        ledger.at_most(name + ": frames with less than three quarters inside", round(100 * float(np.mean(per < 0.75)), 1), 5, "%")
        ledger.at_least(name + " stated of what is in sight", round(100 * told / max(1, sight), 1), 85, "%")
        if side:
            ledger.at_most(name + " stated where it is out of sight", round(100 * blind_told / max(1, blind), 1), 2, "%")
    n = run_counts(rows, trust)
    ledger.at_least("unfused runs in sight found, by frame", round(100 * n["found"] / max(1, n["in sight"]), 1), 95, "%")
    ledger.at_most("unfused runs called fused", n["called fused"], 0)
    ledger.at_most("false runs a frame", round(n["false"] / max(1, len(rows)), 3), 0.05)
    ledger.at_least("lines behind things not examined", round(100 * n["behind found"] / max(1, n["behind"]), 1), 95, "%")
    ledger.at_most("seconds a strip, as run here", round(float(np.median([r["seconds"] for r in rows])), 2), 1, "s")
    return ledger.close()
