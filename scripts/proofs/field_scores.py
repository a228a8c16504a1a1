"""A population of recordings under shop conditions, measured and scored by condition: by the outside scorer."""
import json
import os

import ledger as tools

SCORER = os.path.join(tools.SHARED, "score", "score_field")
KINDS = ("look", "both", "push", "pair", "four", "light")


def measured_by(programs, folder, keep):
    """Runs the outside scorer over a folder; returns its lines by title, its rows, and why there are none."""
    code, said, _ = tools.run([SCORER, programs.path("rootscroll"), folder, "--keep", keep], 7200)
    path = os.path.join(keep, "field.json")
    if code or not os.path.exists(path):
        return {}, [], said[-600:]
    scored = json.load(open(path))
    return {line["title"]: line for line in scored["lines"]}, scored["rows"], ""


def drawn(programs, folder, count, first, more=()):
    """Recordings of our own maker, drawn at random; returns why there are none."""
    code, said, _ = tools.run([programs.path("make_field"), folder, "--count", str(count), "--first", str(first)] +
                              list(more), 7200)
    return said[-600:] if code else ""


def conditions(lines):
    """The titles of single conditions: neither the whole, nor a kind of recording, nor a size of pipe."""
    return [t for t in lines if t != "all" and t not in KINDS and not t.startswith("NPS")]
