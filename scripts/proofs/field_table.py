"""The table by condition of the handbook: what was tried, how often it works, what to do when it does not.

By itself, of a folder that the outside scorer kept: field_table.py KEPT_FOLDER [--write]
prints it in both languages; --write puts it in the place of the handbook's.
"""
import json
import os
import sys

HANDBOOK = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "app", "handbook")
HEADS = {"en": "| recording | recordings | width on half of the lines and more | width off, p95 mm | inside 2u | where it fails |",
         "es": "| grabación | grabaciones | ancho en la mitad de las líneas o más | ancho, error p95 mm | dentro de 2u | si falla |"}
NEAR = ("go nearer; look from the other side too; six points on a toe", "acérquese; mire también del otro lado; seis puntos en un pie")
MOUNT = ("say how the head rides (`--mount`)", "diga cómo va el cabezal (`--mount`)")
SAID = (  # condition as the maker names it; in a user's words; what to do: each in English and in Spanish
    ("plain", ("no special condition", "sin condición especial"), NEAR),
    ("dam", ("an inflated dam closes the view", "un tapón inflado cierra la vista"), MOUNT),
    ("hoses", ("hoses across the view", "mangueras por medio"),
     ("a second frame with the head rolled", "otro fotograma con el cabezal girado")),
    ("elbow", ("an elbow right behind the weld", "un codo justo detrás"),
     ("stand so that little of the elbow shows", "que se vea poco del codo")),
    ("bored", ("bored ends with steps and turning marks", "extremos mandrinados con escalones y marcas"),
     ("the distance to the weld in `--mount`", "la distancia a la soldadura en `--mount`")),
    ("four cameras", ("four cameras turned outward, one shot", "cuatro cámaras hacia fuera, una toma"),
     ("a second shot, nearer or rolled", "otra toma, más cerca o girada")),
    ("lamps on head", ("lamps on the head's face", "luces en el frente del cabezal"), MOUNT),
    ("dead lamp", ("a dead lamp", "una luz apagada"), ("mend it, or roll the head", "cámbiela o gire el cabezal")),
    ("coarse", ("a coarse picture (720x540 and less)", "imagen basta (720x540 y menos)"),
     ("the camera's full size, less compression", "el tamaño completo, menos compresión")),
    ("distorting lens", ("a distorting lens", "lente que deforma"), ("calibrate it as it is used", "calíbrela como se usa")),
    ("haze", ("haze", "neblina"), ("wait until it has drifted off", "espere a que se vaya")),
    ("motion", ("motion", "movimiento"), ("hold still for three seconds", "quieto tres segundos")),
    ("lit end", ("a far end in daylight", "el extremo lejano a la luz del día"), MOUNT),
    ("tool", ("a tool before the wall", "una herramienta ante la pared"),
     ("a second frame with the tool elsewhere", "otro fotograma sin ella en medio")),
    ("text", ("text or a clock in the picture", "texto o reloj en la imagen"),
     ("switch it off, or give a mask", "apáguelo o dé una máscara")),
    ("light plane", ("a plane of light", "un plano de luz"), NEAR),
    ("all", ("all", "todas"), ("", "")))
ALSO = {"bored": ("bored", "bored ends"), "four cameras": ("four", "four cameras"), "coarse": ("coarse", "coarse picture"),
        "lamps on head": ("lamps on head", "lamps on the head")}


def row_of(lines, condition):
    return next((lines[name] for name in ALSO.get(condition, (condition,)) if name in lines), None)


def number(value, digits, language):
    told = "-" if value is None else "%.*f" % (digits, value)
    return told.replace(".", ",") if language == "es" else told


def table(lines, language="en"):
    """Of one population; conditions that it has not are left out."""
    at = ("en", "es").index(language)
    rows = [HEADS[language], "|---|---|---|---|---|---|"]
    for condition, words, what in SAID:
        line = row_of(lines, condition)
        if not line:
            continue
        inside = number(line["width_inside_2u_%"], 1, language)
        rows.append("| %s | %d | %.0f %% | %s | %s | %s |" % (
            words[at], line["recordings"], line["measured_%"], number(line["width_p95"], 3, language),
            "-" if inside == "-" else inside + " %", what[at]))
    return "\n".join(rows)


def runs(lines):
    return "unfused runs in sight found %d of %d, called fused %d, false %d" % tuple(
        lines["all"][k] for k in ("runs_found", "runs_in_sight", "called_fused", "false_runs"))


def written(page, made):
    """The page with its table by condition, which begins with the same two heads, replaced."""
    begins = page.index("|".join(made.split("|")[:3]) + "|")
    return page[:begins] + made + page[page.index("\n\n", begins):]


def main():
    with open(os.path.join(sys.argv[1], "field.json")) as f:
        lines = {line["title"]: line for line in json.load(f)["lines"]}
    for language in HEADS:
        made = table(lines, language)
        print(made + "\n")
        if "--write" in sys.argv:
            path = os.path.join(HANDBOOK, language, "recording.md")
            with open(path) as f:
                page = written(f.read(), made)
            with open(path, "w") as f:
                f.write(page)
    print(runs(lines))


if __name__ == "__main__":
    main()
