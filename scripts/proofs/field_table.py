"""The table by condition of the guide for users: what was tried, how often it works, what to do when it does not.

By itself, of a folder that the outside scorer kept: field_table.py KEPT_FOLDER
"""
import json
import os
import sys

GO_NEAR = "go nearer, to half a bore radius before the weld; a second look from the other side"
MOUNT = "say how the head rides (`mount`, or `--mount`)"
SAID = (  # condition as the maker names it, in a user's words, what to do
    ("plain", "nothing special", GO_NEAR + "; six points on a toe in the window"),
    ("dam", "an inflated dam closes the view", MOUNT + "; " + GO_NEAR),
    ("hoses", "hoses across the view", "a second frame with the head rolled, that sees past them"),
    ("elbow", "an elbow right behind the weld", "stand so that little of the elbow is in the picture; " + MOUNT),
    ("bored", "bored ends with steps and turning marks", "the weld's distance in `mount`, so that no step is taken for it"),
    ("four cameras", "cameras turned outward on one head", "their places in `rig`; the same shot of all of them"),
    ("lamps on head", "lamps on the head's face", MOUNT),
    ("dead lamp", "a lamp that failed", "mend it, or roll the head so that the dark side changes"),
    ("coarse", "a picture of 720x540 and less", "the camera's full size, less compression; " + GO_NEAR),
    ("distorting lens", "a lens that distorts much", "calibrate it as it is used, dome or window before it"),
    ("haze", "argon haze, fume", "wait until it has drifted off"),
    ("motion", "the head moves while it looks", "hold still for three seconds near the weld"),
    ("lit end", "a far end in daylight", "nothing"),
    ("tool", "a tool before the wall", "a second frame with the tool elsewhere"),
    ("text", "text or a clock in the picture", "switch it off, or give a mask"),
    ("light plane", "a plane of light", "a sweep of at least 8 mm past the weld, for heights"))
ALSO = {"dam": ("dam",), "bored": ("bored", "bored ends"), "four cameras": ("four", "four cameras"),
        "coarse": ("coarse", "coarse picture"), "lamps on head": ("lamps on head", "lamps on the head")}


def row_of(lines, condition):
    return next((lines[name] for name in ALSO.get(condition, (condition,)) if name in lines), None)


def table(lines, drawn=None):
    """`drawn`: of our own maker, for what the other renderer has not."""
    rows = ["| recording | tried | measured | poses told, right of them | width inside 2u | what to do when it does not work |",
            "|---|---|---|---|---|---|"]
    for condition, words, what in SAID:
        line, whose = row_of(lines, condition), ""
        if not line:
            line, whose = row_of(drawn or {}, condition), " (our own renders)"
        if not line:
            rows.append("| %s | not tried | - | - | - | %s |" % (words, what))
            continue
        inside = line["width_inside_2u_%"]
        rows.append("| %s | %d | %.0f %% | %d of %d, %d | %s | %s |" % (
            words + whose, line["recordings"], line["measured_%"], line["poses_with_axis"], line["frames"], line["poses_right"],
            "-" if inside is None else "%.1f %%" % inside, what))
    return "\n".join(rows)


if __name__ == "__main__":
    kept = json.load(open(os.path.join(sys.argv[1], "field.json")))
    print(table({line["title"]: line for line in kept["lines"]}))
