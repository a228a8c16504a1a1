"""Joint files for photographs that show no bore: right picture size and lens, an invented pipe."""
import json
import os
import struct

import ledger as tools

# The fisheye's published answer (unified omnidirectional model) and the perspective camera's; the oxide pictures have
# none, so a usual field of view is assumed.
FISHEYE = {"model": "omni", "xi": 1.1331346732794045, "fx": 398.77492706579216, "fy": 398.7685638672075, "cx": 319.18,
           "cy": 319.72, "distortion": [-0.24972089525362837, 0.009672326567075125, 0.0, 0.0], "max_angle_deg": 90.0}
PERSPECTIVE = {"model": "pinhole", "fx": 535.92, "fy": 535.92, "cx": 342.28, "cy": 235.57, "distortion": [],
               "max_angle_deg": 40.0}


def jpeg_size(path):
    """Width and height from a JPEG's frame header."""
    data = open(path, "rb").read()
    at = 2
    while at < len(data):
        marker, length = data[at + 1], struct.unpack(">H", data[at + 2:at + 4])[0]
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            height, width = struct.unpack(">HH", data[at + 5:at + 9])
            return width, height
        at += 2 + length
    raise ValueError("no frame header in " + path)


def unknown_lens(size):
    width, height = size
    return {"model": "pinhole", "fx": float(width), "fy": float(width), "cx": (width - 1) / 2, "cy": (height - 1) / 2,
            "distortion": [], "max_angle_deg": 45.0}


def joint(files, lens):
    """One recording a picture, all with the same lens; a camera for each size."""
    sizes = {path: jpeg_size(path) for path in files}
    cameras = {}
    for size in sizes.values():
        block = {"id": "camera_%dx%d" % size, "width": size[0], "height": size[1]}
        block.update(lens or unknown_lens(size))
        cameras[size] = block
    recordings = [{"id": os.path.basename(path).rsplit(".", 1)[0], "stage": "root",
                   "frames": [{"file": path, "camera": cameras[sizes[path]]["id"], "looks": "+z", "up_theta_deg": 0.0}]}
                  for path in files]
    return {"format": "rootscroll.joint/1",
            "joint": {"id": "PHOTOGRAPHS", "line": "none", "material": "316L",
                      "pipe": {"inside_diameter_mm": 154.2, "inside_diameter_u_mm": 0.1, "wall_mm": 7.11,
                               "source": "invented"},
                      "pieces": {"a": "a", "b": "b"}, "insert": {"class": "3", "width_mm": 4.2},
                      "datum": {"zero": "top dead centre", "positive_z": "from a to b"},
                      "criterion": "MIL-STD-2035A Class 1"},
            "cameras": list(cameras.values()), "recordings": recordings}


def joint_files(real, work):
    """Writes one joint file for each folder of photographs; yields name, path, recording ids."""
    for name, lens in (("fisheye_boards/fisheye/chessboard", FISHEYE), ("fisheye_boards/fisheye/square_grid", FISHEYE),
                       ("perspective_boards", PERSPECTIVE), ("oxide_colours", None)):
        folder = os.path.join(real, name)
        files = sorted(os.path.join(folder, f) for f in os.listdir(folder) if f.endswith(".jpg"))
        path = os.path.join(work, "photographs_%s.json" % name.replace("/", "_"))
        block = joint(files, lens)
        with open(path, "w") as f:
            json.dump(block, f, indent=1)
        yield name, path, [r["id"] for r in block["recordings"]]


def numbers_in(folder):
    """Does a reading hold a length that was measured? A place laid flat for the eye has none."""
    path = os.path.join(folder, "reading.json")
    if not os.path.exists(path):
        return False
    profile = json.load(open(path))["profile"]
    return any(v is not None for key, line in profile.items() if key.endswith("_mm") for v in line)


def never_measured(book, programs, work, every=1):
    """Photographs of other things: refused, or laid flat for the eye only; never a number."""
    real = os.path.join(tools.SHARED, "real")
    if not os.path.isdir(real):
        return book.skip("photographs", "../shared/real is not here")
    out = os.path.join(work, "photo_out")
    for name, joint_file, recordings in joint_files(real, work):
        recordings, wrong, codes = recordings[::every], [], {}
        for recording in recordings:
            tools.shutil.rmtree(out, ignore_errors=True)
            code, said, _ = tools.run([programs.path("rootscroll"), "measure", joint_file, "--recording", recording,
                                       "--out", out, "--quiet"])
            codes[code] = codes.get(code, 0) + 1
            if code not in (2, 3) or numbers_in(out):
                wrong.append("    %s: exit %d: %s" % (recording, code, (said.strip().splitlines() or [""])[0][:200]))
        told = "%d of %d (%s)" % (len(recordings) - len(wrong), len(recordings),
                                  ", ".join("%d times exit %d" % (n, c) for c, n in sorted(codes.items())))
        book.says("%s: exit 2 or 3 and no number" % name, not wrong, told, "all")
        for line in wrong:
            print(line)
