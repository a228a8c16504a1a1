#!/usr/bin/env python3
"""field_before.py PROGRAM COMMIT: measures ../shared/scenes with a program of before and writes its figures into field_before.json.

Build `rootscroll` of that commit in a worktree of its own. A scene that it cannot measure has no figures of before.
"""
import json
import os
import sys
import tempfile

import field_proof
import ledger as tools
import main_proof

KEPT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "field_before.json")


class Named:
    """One program under each name, as ledger.Programs."""

    def __init__(self, program):
        self.program = program

    def path(self, _):
        return self.program


def lines_of(before):
    """JSON with one recording or scene a line."""
    parts = []
    for key, value in before.items():
        rows = value if isinstance(value, str) else None
        parts.append(' %s: %s' % (json.dumps(key), json.dumps(rows) if rows is not None else "{\n%s\n }" % ",\n".join(
            "  %s: %s" % (json.dumps(name), json.dumps(figures)) for name, figures in sorted(value.items()))))
    return "{\n%s\n}\n" % ",\n".join(parts)


def main(program, commit):
    with tempfile.TemporaryDirectory() as keep:
        rows, _ = main_proof.score(Named(os.path.abspath(program)), os.path.join(tools.SHARED, "scenes"), "", keep)
    if not rows:
        sys.exit("field_before: %s measured no scene" % program)
    before = dict(field_proof.BEFORE, scenes_of=commit)
    before["scenes"] = {row["name"]: field_proof.figures_of(row) for row in rows}
    with open(KEPT, "w") as file:
        file.write(lines_of(before))
    print("%d scenes of %s kept" % (len(rows), commit))


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    main(*sys.argv[1:])
