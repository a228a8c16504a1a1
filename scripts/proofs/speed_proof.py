"""Whole recordings, at speed, live."""
import os
import subprocess

import ledger as tools
import speed_arc
import speed_bench
import speed_scan
import speed_watch
import speed_window

BUILD = os.path.join(tools.ROOT, "build", "release")
TARGETS = ("rootscroll", "rootscroll_live_bench", "make_scene", "make_arc")


def prove():
    book = tools.Ledger()
    built = subprocess.run(["ninja", "-C", BUILD, *TARGETS], capture_output=True, text=True)
    if built.returncode != 0:
        print("speed: the programs do not build: " + (built.stderr or built.stdout)[-300:])
        return 1
    speed_bench.prove(book)
    speed_watch.prove(book)
    speed_scan.prove(book)
    speed_arc.prove(book)
    speed_window.prove(book)
    return book.close()
