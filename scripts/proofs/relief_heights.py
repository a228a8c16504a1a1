"""Heights and kinds of section of readings against truth, pooled over recordings."""
import json
import os

import ledger as tools

BANDS = ((0.2, 0.4), (0.4, 0.8), (0.8, 1.6), (1.6, 9.0))  # depth or height of the true section, mm
KINDS = ("concave", "flush", "convex")


def percentile(values, p):
    """By linear interpolation; None of nothing."""
    v = sorted(values)
    if not v:
        return None
    k = (len(v) - 1) * p / 100.0
    i = int(k)
    return v[i] + (v[min(i + 1, len(v) - 1)] - v[i]) * (k - i)


class Pool:
    """Errors and uncertainties of all fused lines; which kind each line is and was told to be."""

    def __init__(self):
        self.crown, self.hollow = [], []  # (error, u)
        self.undercut_lines = self.undercut_stated = 0  # a dip beside the toe is undercut, no hollow root
        self.lines = self.hollow_lines = self.recordings = self.with_heights = 0
        self.told = {}  # (true kind, band, told kind or "-") -> lines

    def add(self, folder, out):
        """A recording with truth.json, and the folder its reading lies in; a reading that is absent counts as silent."""
        truth = json.load(open(os.path.join(folder, "truth.json")))["profile"]
        path = os.path.join(out, "reading.json")
        reading = json.load(open(path)) if os.path.exists(path) else {"profile": {}}
        self.recordings += 1
        before = len(self.crown)
        for i, theta in enumerate(truth["theta_deg"]):
            if truth["state"][i] == "fused" and not truth["transition"][i] and not truth.get("blended", [0] * 720)[i]:
                self.line(truth, reading, i, int(round(2 * theta)) % 720)
        self.with_heights += len(self.crown) > before

    def line(self, truth, reading, i, k):
        crown, hollow = truth["crown_height_smooth"][i], truth["max_concavity"][i]
        undercut = max(truth.get("undercut_%s_depth" % side, [0] * 720)[i] for side in ("left", "right")) >= 0.05
        if undercut and crown > hollow:
            hollow = 0
        self.lines += 1
        self.undercut_lines += undercut
        self.hollow_lines += hollow >= 0.2
        at = lambda name: reading["profile"].get(name, [None] * 720)[k]
        if at("crown_height_mm") is not None:
            self.crown.append((abs(at("crown_height_mm") - crown), at("crown_height_u_mm")))
            self.undercut_stated += undercut
            if hollow >= 0.2:
                self.hollow.append((abs(at("concavity_mm") - hollow), at("concavity_u_mm")))
        told = "-"
        for arc in reading.get("sections", []):
            length = (arc["end_deg"] - arc["start_deg"]) % 360 or 360
            if (0.5 * k - arc["start_deg"]) % 360 < length:
                told, limit = arc["kind"], arc["against_mm"]
        size = max(crown, hollow)
        true = "flush" if size <= (limit if told != "-" else 0.3) else "concave" if hollow > crown else "convex"
        band = next((b for b in BANDS if b[0] <= size < b[1]), (0, 0.2))
        key = (true, band, told)
        self.told[key] = self.told.get(key, 0) + 1

    def share(self, part, of):
        return round(100.0 * part / of, 1) if of else None

    def say(self, book, what, floors):
        """Prints the pool's figures; with floors, holds them against these."""
        book.figure("%s: recordings with heights" % what, "%d of %d" % (self.with_heights, self.recordings))
        if self.undercut_lines:
            book.figure("%s: lines with an undercut, with a height" % what,
                        "%d of %d" % (self.undercut_stated, self.undercut_lines))
        for name, errors, of in (("crown, fused lines", self.crown, self.lines),
                                 ("concavity, lines hollow by 0.2 mm and more", self.hollow, self.hollow_lines)):
            if not of:
                continue
            p95 = percentile([e for e, _ in errors], 95)
            inside = self.share(sum(e <= 2 * u for e, u in errors), len(errors))
            stated, title = self.share(len(errors), of), "%s: %s" % (what, name)
            if floors:
                book.at_most(title + ", error p95", p95 and round(p95, 3), 0.30, "mm")
                book.at_least(title + ", stated", stated, 60, "%")
                book.at_least(title + ", inside 2u", inside, 93, "%")
                book.at_most(title + ", inside 2u", inside, 99.5, "%")
            else:
                book.figure(title, "p95 %s mm on %s %%, inside 2u %s %%" % (p95 and round(p95, 3), stated, inside))
            book.figure(title + ", U (goal 0.15 mm)",
                        "%.2f mm" % (2 * percentile([u for _, u in errors], 50)) if errors else "none")
        self.confusion(book, what)

    def confusion(self, book, what):
        for band in ((0, 0.2),) + BANDS:
            for true in KINDS:
                row = {told: n for (kind, b, told), n in self.told.items() if kind == true and b == band}
                if row:
                    book.figure("%s: %s by %.1f to %.1f mm, told" % (what, true, *band),
                                ", ".join("%s %d" % (told if told != "-" else "nothing", row[told])
                                          for told in KINDS + ("-",) if told in row))
        wrong = sum(n for (true, _, told), n in self.told.items() if {true, told} == {"concave", "convex"})
        book.at_most("%s: lines told concave for convex or convex for concave" % what, wrong, 0)


def measure(programs, folder, out):
    """One recording of a folder with joint.json; seconds it took."""
    joint = os.path.join(folder, "joint.json")
    first = json.load(open(joint))["recordings"][0]["id"]
    _, _, seconds = tools.run([programs.path("rootscroll"), "measure", joint, "--recording", first, "--out", out,
                               "--quiet"])
    return seconds
