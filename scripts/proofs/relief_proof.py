"""Height from an ordinary push and from a light section: own made-up scenes, and the shared ones where they are there."""
import json
import os
import re
import tempfile

import ledger as tools
from relief_heights import Pool, measure, percentile

HOLLOW_SEEDS, CROWNED_SEEDS, LIGHT_SEEDS = range(41, 53), range(61, 69), range(11, 31)
# Pushes of make_field with hollow arcs that come within 0.9 radii, none of them fitted on
SHOP_SEEDS = (27013, 27039, 27075, 27089, 27118, 27203, 27233, 27276, 27288, 27289, 27345, 27397)


# Planes of light under shop conditions, make_field: what stands before the stripe or drowns it
SHOP_LIGHT = (("gloss", range(401, 406)), ("hoses", range(411, 416)), ("tool", range(421, 426)), ("coarse", range(431, 436)))


def pooled(programs, folders, work):
    """The readings of these recordings, measured first; without programs as they were measured before."""
    pool = Pool()
    for folder in folders:
        out = os.path.join(work, "out", *os.path.normpath(folder).split(os.sep)[-2:])
        if programs:
            measure(programs, folder, out)
        pool.add(folder, out)
    return pool


def made(programs, work, kind, seed, more):
    folder = os.path.join(work, "%s_%d" % (kind, seed))
    tools.run([programs.path("make_scene"), folder, "--kind", kind, "--seed", str(seed)] + list(more))
    return folder


def own_pushes(book, programs, work):
    book.heading("Pushes of our own maker: twelve with hollows, eight crowned; eight frames each, 1280x960")
    folders = [made(programs, work, kind, seed, ("--frames", "8"))
               for kind, seeds in (("concave", HOLLOW_SEEDS), ("fused", CROWNED_SEEDS)) for seed in seeds]
    pooled(programs, folders, work).say(book, "own pushes", True)


def shop_pushes(book, programs, work):
    book.heading("Pushes of our own maker under shop conditions, hollow arcs: twelve that nothing was fitted on")
    root = os.path.join(work, "shop")
    for seed in SHOP_SEEDS:
        tools.run([programs.path("make_field"), root, "--first", str(seed), "--recording", "push", "--tame"])
    folders = [os.path.join(root, "field_%d_push" % seed) for seed in SHOP_SEEDS]
    pooled(programs, folders, work).say(book, "shop pushes", False)


def single_pictures(book, programs, work):
    book.heading("Single pictures: no class is told from one view")
    pool = pooled(programs, [made(programs, work, "concave", 91, ("--frames", "1"))], work)
    told = sum(n for (_, _, told), n in pool.told.items() if told != "-")
    book.at_most("single picture: lines with a class", told, 0)
    book.at_most("single picture: lines with a height", len(pool.crown), 0)


def shared_pushes(book, programs, work):
    for name, floors in (("scenes", True), ("field", False)):
        book.heading("Pushes of ../shared/" + name)
        root = os.path.join(tools.SHARED, name)
        if not os.path.isdir(root):
            book.skip(name, "../shared/%s is not here" % name)
            continue
        folders = [os.path.join(root, d) for d in sorted(os.listdir(root)) if "push_" in d]
        pooled(programs, folders, work).say(book, "shared " + name, floors)


def against_floors(book, what, pool):
    book.at_least(what + ": recordings with heights", pool.share(pool.with_heights, pool.recordings), 90, "%")
    errors = [e for e, _ in pool.crown]
    book.at_most(what + ": crown error p95", errors and round(percentile(errors, 95), 3), 0.10, "mm")
    inside = pool.share(sum(e <= 2 * u for e, u in pool.crown), len(errors))
    book.at_least(what + ": crown inside 2u", inside, 93, "%")
    book.at_most(what + ": crown inside 2u", inside, 99.5, "%")


def light_sections(book, programs, work):
    book.heading("Light section: twenty scenes of our own maker")
    folders = [made(programs, work, "light_section", seed, ("--frames", "13")) for seed in LIGHT_SEEDS]
    against_floors(book, "light section", pooled(programs, folders, work))


def shop_light_sections(book, programs, work):
    book.heading("Light section under shop conditions: five each with gloss, hoses, a tool's arm, coarse pictures")
    root, all_folders = os.path.join(work, "shop_light"), []
    for condition, seeds in SHOP_LIGHT:
        for seed in seeds:
            tools.run([programs.path("make_field"), root, "--first", str(seed), "--recording", "light", "--tame", "--plain",
                       "--only", condition])
        folders = [os.path.join(root, "field_%d_light" % seed) for seed in seeds]
        pool = pooled(programs, folders, work)
        book.figure("light section, %s" % condition, "%d of %d with heights, p95 %s mm" % (
            pool.with_heights, pool.recordings, pool.crown and round(percentile([e for e, _ in pool.crown], 95), 3)))
        all_folders += folders
    against_floors(book, "light section, shop", pooled(None, all_folders, work))


def forty_frames(book, programs, work):
    book.heading("Forty frames, 1280x960: time and memory")
    folder = made(programs, work, "fused", 5, ("--frames", "40"))
    out = os.path.join(work, "forty")
    _, said, seconds = tools.run(["/usr/bin/time", "-v", programs.path("rootscroll"), "measure",
                                  os.path.join(folder, "joint.json"), "--recording", "root", "--out", out])
    memory = re.search(r"Maximum resident set size \(kbytes\): (\d+)", said)
    book.at_most("seconds, two cores", round(seconds, 1), 60, "s")
    book.at_most("peak memory", memory and round(int(memory[1]) / 1048576, 2), 1.0, "GiB")
    reading = os.path.join(out, "reading.json")
    by = json.load(open(reading)).get("height_by") if os.path.exists(reading) else None
    book.says("height by travel", by == "travel", str(by), "travel")


def prove():
    with tempfile.TemporaryDirectory(prefix="prove-") as work:
        programs = tools.Programs(["rootscroll", "make_scene", "make_field"], os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        book = tools.Ledger()
        for part in (own_pushes, shop_pushes, shared_pushes, single_pictures, light_sections, shop_light_sections,
                     forty_frames):
            part(book, programs, work)
    return book.close()
