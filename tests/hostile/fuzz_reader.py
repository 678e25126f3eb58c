"""Fuzzing of reader and measurement: drawings and the hostile set, changed at random, each in a worker that may die.

    python -m tests.hostile.fuzz_reader --minutes 20 --seed 1 FOLDER...

Drawings of the folders and the hostile set are mixed, cut and spiced with words that have meant trouble. Printed is whatever ended
otherwise than drawn, refused or failed by a limit; the drawing is kept beside it for a case of its own.
"""

from __future__ import annotations

import argparse
import hashlib
import random
import re
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from vectorprep.engine import Engine, open_engine
from vectorprep.errors import ArtworkFailed, ArtworkRefused
from vectorprep.fonts import FontIndex, load_index
from vectorprep.measure import measure
from vectorprep.read import read_artwork
from vectorprep.run.supervisor import Supervisor
from vectorprep.run.tasks import Crashed, Done, Limits, Task

SPICE = [
    "0",
    "-1",
    "1e7",
    "-1e-7",
    "1e30",
    "nan",
    "inf",
    "99999",
    "0.00001",
    "100%",
    "-5%",
    "1em",
    "3ex",
    "1e",
    "1e+",
    ".",
    "-",
    "+",
    "none",
    "inherit",
    "currentColor",
    "url(#a)",
    "url(",
    "#a",
    "#b",
    "a",
    "auto",
    "context-fill",
    "var(--a)",
    "calc(1px+2%)",
    "rgb(1,2,3)",
    "#fff",
    "#12345678",
    "rgba(0,0,0,.5)",
    "hsl(9,9%,9%)",
    "color-mix(in_srgb,red,blue)",
    ";",
    ":",
    "{",
    "}",
    "(",
    ")",
    '"',
    "'",
    "<",
    ">",
    "&",
    "&lt;",
    "&#0;",
    "&#x41;",
    "&a;",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "<?a?>",
    "M0_0",
    "Z",
    "A1_1_0_0_1_2_2",
    "scale(0)",
    "matrix(1_0_0_0_0_0)",
    "rotate(90)",
    "translate(1e6)",
    "skewX(90)",
    "evenodd",
    "userSpaceOnUse",
    "objectBoundingBox",
    "bold",
    "900",
    "italic",
    "serif",
    "'x'",
    "data:",
    "data:image/png;base64,AAAA",
    "http://127.0.0.1:9/",
    "../x",
    "\\",
    "\\75rl(",
    "!important",
    "@media",
    "@import",
    "@font-face",
    ":root",
    "*",
    ">",
    "+",
    "~",
    ":not(g)",
    ":nth-child(2n)",
]
NAMES = [
    "id",
    "class",
    "style",
    "fill",
    "stroke",
    "stroke-width",
    "stroke-dasharray",
    "stroke-dashoffset",
    "opacity",
    "fill-opacity",
    "transform",
    "clip-path",
    "mask",
    "filter",
    "marker-mid",
    "href",
    "xlink:href",
    "x",
    "y",
    "width",
    "height",
    "viewBox",
    "preserveAspectRatio",
    "d",
    "points",
    "r",
    "rx",
    "ry",
    "cx",
    "cy",
    "offset",
    "stop-color",
    "gradientTransform",
    "patternTransform",
    "patternUnits",
    "x1",
    "fx",
    "fr",
    "font-family",
    "font-size",
    "font-weight",
    "text-anchor",
    "letter-spacing",
    "display",
    "visibility",
    "overflow",
    "mix-blend-mode",
    "isolation",
    "paint-order",
    "vector-effect",
    "stdDeviation",
    "in",
    "in2",
    "result",
    "radius",
    "order",
    "kernelMatrix",
    "baseFrequency",
    "numOctaves",
    "values",
    "tableValues",
    "type",
    "mode",
    "scale",
    "textLength",
    "rotate",
    "startOffset",
    "systemLanguage",
    "requiredExtensions",
    "xml:space",
    "xml:base",
    "pathLength",
    "color",
    "clip-rule",
    "fill-rule",
    "transform-origin",
]
ELEMENTS = [
    "g",
    "svg",
    "use",
    "symbol",
    "defs",
    "path",
    "rect",
    "circle",
    "ellipse",
    "line",
    "polyline",
    "polygon",
    "text",
    "tspan",
    "textPath",
    "image",
    "pattern",
    "mask",
    "clipPath",
    "marker",
    "linearGradient",
    "radialGradient",
    "stop",
    "filter",
    "feGaussianBlur",
    "feImage",
    "feFlood",
    "feBlend",
    "feMerge",
    "feMergeNode",
    "feOffset",
    "feTurbulence",
    "feMorphology",
    "feTile",
    "feColorMatrix",
    "feComponentTransfer",
    "feFuncR",
    "feConvolveMatrix",
    "feDisplacementMap",
    "feDropShadow",
    "style",
    "switch",
    "a",
    "foreignObject",
    "script",
    "title",
    "metadata",
    "animate",
    "tref",
    "font",
]
_ATTRIBUTE = re.compile(rb'([\w:-]+)="([^"]*)"')
_TAG = re.compile(rb"<[^<>]*>")


def _word(chance: random.Random) -> bytes:
    return chance.choice(SPICE).replace("_", " ").encode()


def _value(data: bytes, chance: random.Random) -> bytes:
    """Another value for one attribute."""
    found = list(_ATTRIBUTE.finditer(data))
    if not found:
        return data
    match = chance.choice(found)
    value = (
        chance.choice(found).group(2) if chance.random() < 0.4 else b" ".join(_word(chance) for _ in range(chance.randrange(1, 4)))
    )
    return data[: match.start(2)] + value + data[match.end(2) :]


def _attribute(data: bytes, chance: random.Random) -> bytes:
    """One more attribute on some tag."""
    found = [match for match in _TAG.finditer(data) if match.group()[1:2].isalpha()]
    if not found:
        return data
    at = chance.choice(found).end() - 1
    at -= data[at - 1 : at] == b"/"
    return data[:at] + b' %s="%s"' % (chance.choice(NAMES).encode(), _word(chance)) + data[at:]


def _element(data: bytes, chance: random.Random) -> bytes:
    """One more element, with an id and a reference."""
    found = list(_TAG.finditer(data))
    if not found:
        return data
    name, other = (chance.choice(ELEMENTS).encode(), chance.choice(NAMES).encode())
    inner = (
        b"" if chance.random() < 0.7 else _word(chance) if chance.random() < 0.5 else b"<%s/>" % chance.choice(ELEMENTS).encode()
    )
    new = b'<%s id="%s" %s="%s">%s</%s>' % (name, chance.choice([b"a", b"b", b"c"]), other, _word(chance), inner, name)
    at = chance.choice(found).end()
    return data[:at] + new + data[at:]


def _move(data: bytes, chance: random.Random) -> bytes:
    """A part again at another place, or away."""
    start = chance.randrange(len(data) + 1)
    part = data[start : start + chance.choice([1, 8, 64, 512])]
    at = chance.randrange(len(data) + 1)
    return (
        data[:at] + part * chance.choice([1, 1, 2, 30]) + data[at:]
        if chance.random() < 0.5
        else data[:start] + data[start + len(part) :]
    )


def _byte(data: bytes, chance: random.Random) -> bytes:
    """One byte changed."""
    at = chance.randrange(len(data) + 1)
    return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]


def _spice(data: bytes, chance: random.Random) -> bytes:
    """A word anywhere."""
    at = chance.randrange(len(data) + 1)
    return data[:at] + _word(chance) + data[at:]


CHANGES: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _value,
    _value,
    _value,
    _attribute,
    _attribute,
    _element,
    _element,
    _move,
    _byte,
    _spice,
)


def changed(data: bytes, chance: random.Random) -> bytes:
    """The drawing with one to eight random changes."""
    for _ in range(chance.choice([1, 1, 2, 3, 5, 8])):
        data = chance.choice(CHANGES)(data, chance)
    return data


_tools: list[tuple[FontIndex, Engine]] = []


def attempt(data: bytes, emit: Callable[[object], None]) -> str:
    """Reads and measures one drawing; what became of it, in a word."""
    if not _tools:
        fonts = load_index()
        _tools[:] = [(fonts, open_engine(font_files=fonts.files))]
    fonts, engine = _tools[0]
    try:
        measure(read_artwork(data, name="x", fonts=fonts), engine)
    except ArtworkRefused:
        return "refused"
    except ArtworkFailed:
        return "failed"
    return "drawn"


def _drawings(folders: list[str]) -> list[bytes]:
    from tests.hostile.hostile_more import MORE
    from tests.hostile.hostile_set import BASICS

    found = [data for case in (*BASICS, *MORE) if len(data := case.make()) < 3_000]
    for folder in folders:
        files = sorted(file for file in Path(folder).rglob("*.svg") if file.stat().st_size < 12_000)
        found += [file.read_bytes() for file in files[:: max(1, len(files) // 400)]]
    return found


def main() -> None:
    """Fuzzes for so many minutes; prints counts and whatever is a fault."""
    parser = argparse.ArgumentParser()
    parser.add_argument("folders", nargs="*")
    parser.add_argument("--minutes", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--keep", default="fuzz-findings", help="folder for drawings that are a fault")
    given = parser.parse_args()
    chance, drawings, end = random.Random(given.seed), _drawings(given.folders), time.monotonic() + 60 * given.minutes
    asked: dict[str, bytes] = {}

    def tasks() -> Iterator[Task]:
        number = 0
        while time.monotonic() < end:
            number += 1
            data = changed(chance.choice(drawings), chance)
            asked[str(number)] = data
            yield Task(id=str(number), function="tests.hostile.fuzz_reader:attempt", payload=data)

    counts: Counter[str] = Counter()
    with Supervisor(given.jobs, limits=Limits(step_s=5.0, memory_mb=1150)) as supervisor:
        for event in supervisor.run(tasks()):
            if isinstance(event, Done):
                counts[str(event.value)] += 1
                del asked[event.id]
            elif isinstance(event, Crashed):
                data = asked.pop(event.id)
                counts[event.kind] += 1
                if event.kind not in {"wall-limit", "memory-limit", "cpu-limit"} or counts[event.kind] <= 20:
                    name = f"{event.kind}-{hashlib.sha256(data).hexdigest()[:8]}.svg"
                    Path(given.keep).mkdir(exist_ok=True)
                    Path(given.keep, name).write_bytes(data)
                    print(name, event.reason, event.detail.strip().splitlines()[-4:], flush=True)  # noqa: T201
    print(sum(counts.values()), "drawings:", dict(counts))  # noqa: T201


if __name__ == "__main__":
    main()
