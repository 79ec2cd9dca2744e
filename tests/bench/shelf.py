"""Fills a folder with details for the benches: `shelf.py FOLDER [COUNT]`.

Each has a head of its own and the notation of one of the details that come with dewlap, with another name, other titles
and laps that are a little longer. Bodies that accept a finding, or whose place has no zone in the catalog, are left out. All
review without a finding at the two places they name, and the same count makes the same folder.
"""

import csv
import os
import pathlib
import random
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
OLD = 1_700_000_000
BUILDINGS = """creamery boathouse granary smithy cooperage bakehouse schoolhouse chapel vestry ropewalk mill sawmill foundry
tannery brewery orangery ferry-house toll-house press-room reading-room net-loft hay-loft drying-loft pottery bindery dairy
cannery armory library station malthouse kiln""".split()
SIDES = "north south east west windward lee street yard river hill".split()
WHAT = "porch annex wing stair gable bay landing cellar loft hall entry lean-to".split()
SOURCES = ["our own drawing", "common practice, no source", "drawn with the mason on site", "taken over from an earlier job"]
MINDS = ["the strip is rolled twice", "dust is brushed off before the primer", "the mason comes before the roofer",
         "nothing is nailed through the lower leg", "wet wood waits until it is dry"]
FAILED = [("the seal let go of the stone", "dust under the primer", "ground bare and vacuumed"),
          ("water stood behind the apron", "its end was cut short", "carried past the corner"),
          ("the tape curled", "put on in the cold", "warmed and rolled")]


def zones():
    """Zones of the places that a county list names."""
    with open(ROOT / "src/catalog/data/places.csv", encoding="utf-8", newline="") as file:
        return {row["key"]: row["county_zone"] for row in csv.DictReader(file, delimiter=";") if row["county_zone"]}


def bodies():
    """Stem, further places, zones and notation of the shipped details that can be varied."""
    zone_of, found = zones(), []
    for path in sorted((ROOT / "details").glob("*.dew")):
        text = path.read_text(encoding="utf-8")
        head, body = "", text
        if text.startswith("---\n"):
            head, body = text[4:].split("\n---\n", 1)
        body = "".join(line for line in body.splitlines(keepends=True) if not line.startswith("#"))
        place = re.search(r"^  place +(\S+)", body, re.M)
        zone = zone_of.get(place[1]) if place else None
        if zone and "\naccepts:" not in head and not re.search(r"^(accept|include|use) ", body, re.M):
            further = re.search(r"^places: \[(.*)\]", head, re.M)[1]
            held = re.search(r"^  zones: \[(.*)\]", head, re.M)[1].split(", ")
            found.append((path.stem, further, {zone, *held}, body.lstrip("\n")))
    return found


def longer(body, steps):
    """The notation with its laps in whole inches a few eighths longer."""
    if steps == 0:
        return body
    eighths = ["", "1/8", "1/4", "3/8"][steps]
    return re.sub(r"(laps over [\w. -]+?) (\d+) in\b", rf"\1 \2-{eighths} in", body)


def detail(number, choice, stem, further, held, body):
    """Name and text of one detail."""
    building, side, what = choice.choice(BUILDINGS), choice.choice(SIDES), choice.choice(WHAT)
    name = f"{stem}-{building}-{number:05}"
    body = re.sub(r'^job \S+( ".*")?$', f'job {building} "{side} {what} of the {building}"', body, count=1, flags=re.M)
    body = re.sub(r"^detail [\w-]+", f"detail {name}", body, count=1, flags=re.M)
    words = stem.replace("-", " ")
    lines = ["---", f"title: {words.capitalize()}, {side} {what} of the {building}", f"meets: [{side} {what}, {words}]",
             f"status: {choice.choice(['drawn', 'reviewed', 'reviewed'])}",
             f"revision: {choice.randint(1, 4)}", f"places: [{further}]"]
    if choice.random() < 0.7:
        near = sorted({*held, *choice.sample(["2A", "3A", "4A", "4C", "5A", "5B", "6A", "7"], 2)})
        lines += ["holds:", f"  zones: [{', '.join(near)}]"]
    lines += [f"source: {choice.choice(SOURCES)}"]
    if choice.random() < 0.5:
        lines += [f"mind: {choice.choice(MINDS)}"]
    if choice.random() < 0.3:
        lines += ["evidence:", f"  - date: 20{choice.randint(10, 25)}-0{choice.randint(1, 9)}-1{choice.randint(0, 9)}",
                  "    kind: hose test", "    result: passed", "    by: the site carpenter", "    example: true"]
    if choice.random() < 0.1:
        failed, cause, cure = choice.choice(FAILED)
        lines += ["failures:", "  - date: 2019-11-20", f"    what: {failed}", f"    cause: {cause}", f"    cure: {cure}",
                  "    form: 0123456789ab"]
    return name, "\n".join([*lines, "---", longer(body, choice.randint(0, 3))])


def main():
    folder = pathlib.Path(sys.argv[1])
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 10_000
    folder.mkdir(parents=True, exist_ok=True)
    choice, known = random.Random(1), bodies()
    for number in range(count):
        name, text = detail(number, choice, *known[number % len(known)])
        path = folder / f"{name}.dew"
        path.write_text(text, encoding="utf-8", newline="\n")
        # What was changed just now is not kept by an index.
        os.utime(path, (OLD + number, OLD + number))


if __name__ == "__main__":
    main()
