"""Heights by light section: the ring scenes against the independent truth, the propagation against Monte Carlo."""
import os

import ledger as tools
from gauge_sweep import prove_sweep
from main_proof import score


def scenes(book, programs, work):
    folder = os.path.join(tools.SHARED, "scenes")
    if not os.path.isdir(folder):
        return book.skip("ring scenes", "../shared/scenes is not here")
    rows, trouble = score(programs, folder, "ring_", os.path.join(work, "ring"))
    book.says("ring_* scenes measured", not trouble and len(rows) >= 1, str(len(rows)), ">= 1")
    if trouble:
        print(trouble)
    for row in rows:
        name = row["name"]
        book.at_most("crown height error p95, " + name, row["crown"]["p95"], 0.10, "mm")
        book.at_least("crown height stated of fused lines, " + name, row["crown"]["stated_%"], 90, "%")
        book.at_least("crown height errors inside 2u, " + name, row["crown"].get("inside_2u_%"), 93, "%")
        book.at_most("crown height errors inside 2u, " + name, row["crown"].get("inside_2u_%"), 99.5, "%")
        book.at_most("misalignment error p95, " + name, row["hilo"]["p95"], 0.10, "mm")
        book.figure("concavity error p95, share inside 2u, " + name,
                    "%s mm, %s %%" % (row["concavity"]["p95"], row["concavity"].get("inside_2u_%")))
        book.figure("width error p95, " + name, "%s mm" % row["width"]["p95"])
        book.figure("seconds for the whole scene, " + name, "%.1f s" % row["seconds"])


def propagation(book, programs):
    for what, tests in (("stripe on a painted ring, by formula", "*StripePeak*:FindStripe.*:LightPlane.*"),
                        ("across the weld, by formula", "SectionOf.*"),
                        ("uncertainty against Monte Carlo", "*MonteCarlo*:SolvePath.*")):
        code, said, _ = tools.run([programs.path("relief_test"), "--gtest_filter=" + tests])
        book.says(what, code == 0 and "[  PASSED  ]" in said, "exit %d" % code, "exit 0")


def prove_light(book, programs, work):
    """@param programs must hold rootscroll and relief_test."""
    book.heading("Heights by light section")
    scenes(book, programs, work)
    propagation(book, programs)
    prove_sweep(book)
