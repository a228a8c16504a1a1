"""Whole recordings, at speed, live: each part is a file of its own beside this one; those that are there are run."""
import importlib
import os
import shutil
import tempfile

import ledger as tools

PARTS = ("speed_scan", "speed_arc", "speed_bench")  # each with TARGETS and prove_part(book, programs, work)


def prove():
    here = os.path.dirname(os.path.abspath(__file__))
    parts = [importlib.import_module(name) for name in PARTS if os.path.exists(os.path.join(here, name + ".py"))]
    parts = [part for part in parts if hasattr(part, "prove_part")]
    book = tools.Ledger()
    work = tempfile.mkdtemp(prefix="rootscroll-prove-speed-")
    try:
        targets = sorted({target for part in parts for target in part.TARGETS})
        programs = tools.Programs(targets, os.path.join(work, "programs"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        for part in parts:
            part.prove_part(book, programs, work)
        return book.close()
    finally:
        shutil.rmtree(work, ignore_errors=True)
