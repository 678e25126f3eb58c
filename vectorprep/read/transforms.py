"""Transforms: the CSS property in the attribute's syntax, and either one as a matrix.

Comes in: values of `transform`, `transform-origin`, `translate`, `rotate`, `scale`.
Goes out: one `transform` attribute that every renderer reads, or an `Affine`.
Never done here: walking a tree.

Source: CSS Transforms 1 and 2.
"""

from __future__ import annotations

import math
import re

from vectorprep.geometry import Affine, Box
from vectorprep.read.boxes import shape_box
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import NUMBER, length_px, number_or, written

_FUNCTION = re.compile(r"([a-zA-Z0-9]+)\s*\(([^()]*)\)")
_ARGUMENT = re.compile(rf"({NUMBER})\s*([a-zA-Z%]*)")
_HAS_UNITS = re.compile(r"[\d.]\s*(?:px|pt|mm|cm|in|em|rem|deg|rad|grad|turn|%)", re.IGNORECASE)
_CSS_ONLY = re.compile(r"\b(?:translate[XYZ]|scale[XYZ]|rotate[XYZ]|skew|\w+3d|perspective)\s*\(", re.IGNORECASE)
_IN_SPACE = re.compile(r"\b(?:\w+3d|rotate[XY]|translateZ|scaleZ|perspective)\s*\(", re.IGNORECASE)
_DEGREES = {"": 1.0, "deg": 1.0, "rad": 180 / math.pi, "grad": 0.9, "turn": 360.0}
_EXTRA = ("transform-origin", "transform-box", "translate", "rotate", "scale")
_KEYWORDS = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}
_ORIENTED = frozenset(("feOffset", "feTurbulence", "feDisplacementMap"))


def plain_transform(found: dict[str, str], name: str, viewport: tuple[float, float], book: Notebook) -> None:
    """Replaces all transform properties among an element's attributes by one plain `transform`.

    `rotate` of text and `scale` of a displacement map are attributes of another meaning and stay. Percentages are of the
    nearest viewport (`viewport`, user units), or of the object's own box where `transform-box` says so.
    """
    own = {"rotate"} if name in {"text", "tspan"} else {"scale"} if name in _ORIENTED else set()
    extra = {key: found.pop(key) for key in _EXTRA if key in found and key not in own}
    transform = found.get("transform", "").strip()
    if transform.lower() == "none":
        del found["transform"]
        transform = ""
    if not extra and not _HAS_UNITS.search(transform) and not _CSS_ONLY.search(transform):
        return
    found.pop("transform", None)
    if _IN_SPACE.search(" ".join([transform, *extra.values()])):
        book.count("feature-not-drawn", "warning", "a transform in space is not supported", transform[:60])
    box: Box | None = Box(0.0, 0.0, *viewport)
    if extra.get("transform-box", "view-box") not in {"view-box", "border-box"}:
        box = shape_box(name, found)
        if box is None:
            book.count("feature-not-drawn", "warning", "a transform about the object's own box is not supported here", name)
    made = _combined(transform, extra, box or Box(0.0, 0.0, 0.0, 0.0))
    if made != Affine():
        found["transform"] = matrix_text(made)


def _combined(transform: str, extra: dict[str, str], box: Box) -> Affine:
    size = (box.width, box.height)
    inner = affine_of(transform, size)
    for function in ("scale", "rotate", "translate"):
        value = extra.get(function, "none")
        if value != "none":
            inner = affine_of(f"{function}({value})", size).after(inner)
    if "transform-origin" not in extra:
        return inner if extra.get("transform-box", "view-box") == "view-box" else _about(inner, box.x0, box.y0)
    x, y = _origin(extra["transform-origin"], box)
    return _about(inner, x, y)


def _about(inner: Affine, x: float, y: float) -> Affine:
    return Affine(e=x, f=y).after(inner).after(Affine(e=-x, f=-y))


def _origin(text: str, box: Box) -> tuple[float, float]:
    """Origin in user units by `transform-origin` (CSS Transforms 1); one word alone leaves the other axis in the middle."""
    words = text.lower().split()[:2]
    if (words and words[0] in {"top", "bottom"}) or (len(words) == 2 and words[1] in {"left", "right"}):
        words.reverse()
    if len(words) == 1:
        words = ["center", *words] if words[0] in {"top", "bottom"} else [*words, "center"]
    parts = [_KEYWORDS.get(word, word) for word in words] or ["0", "0"]
    if len(parts) == 2 and words[0] in {"top", "bottom"}:
        parts.reverse()
    x = length_px(parts[0], percent_of=box.width) or 0.0
    y = length_px(parts[1], percent_of=box.height) or 0.0
    return box.x0 + x, box.y0 + y


def affine_of(transform: str | None, size: tuple[float, float] = (0.0, 0.0)) -> Affine:
    """Matrix of a transform list, units of CSS understood, percentages of `size`; what is no transform counts as none."""
    made = Affine()
    if not transform:
        return made
    for name, inside in _FUNCTION.findall(transform):
        step = _step(name.lower(), _ARGUMENT.findall(inside), size)
        if step is not None:
            made = made.after(step)
    return made


def _step(name: str, arguments: list[tuple[str, str]], size: tuple[float, float]) -> Affine | None:
    angles = [float(value) * _DEGREES.get(unit.lower(), 1.0) for value, unit in arguments]
    axes = (size[1], size[0]) if name == "translatey" else size
    lengths = [length_px(value + unit, percent_of=axes[at % 2]) or 0.0 for at, (value, unit) in enumerate(arguments)]
    shares = [float(value) / (100 if unit == "%" else 1) for value, unit in arguments]
    if not arguments:
        return None
    made = None
    if name == "matrix" and len(shares) == 6:
        made = Affine(*shares)
    elif name.startswith("translate"):
        made = _translation(name, lengths)
    elif name.startswith("scale"):
        made = _scaling(name, shares)
    elif name in {"rotate", "rotatez"}:
        made = _rotation(angles, lengths)
    elif name.startswith("skew"):
        made = _skewing(name, angles)
    return made


def _translation(name: str, lengths: list[float]) -> Affine:
    if name == "translatey":
        return Affine(f=lengths[0])
    return Affine(e=lengths[0], f=lengths[1] if len(lengths) > 1 and name != "translatex" else 0.0)


def _scaling(name: str, factors: list[float]) -> Affine:
    if name == "scaley":
        return Affine(d=factors[0])
    if name == "scalex":
        return Affine(a=factors[0])
    return Affine(a=factors[0], d=factors[1] if len(factors) > 1 else factors[0])


def _rotation(angles: list[float], lengths: list[float]) -> Affine:
    sine, cosine = math.sin(math.radians(angles[0])), math.cos(math.radians(angles[0]))
    turn = Affine(cosine, sine, -sine, cosine, 0.0, 0.0)
    if len(lengths) < 3:
        return turn
    return Affine(e=lengths[1], f=lengths[2]).after(turn).after(Affine(e=-lengths[1], f=-lengths[2]))


def _skewing(name: str, angles: list[float]) -> Affine:
    tangents = [math.tan(math.radians(angle)) for angle in angles]
    if name == "skewy":
        return Affine(b=tangents[0])
    return Affine(c=tangents[0], b=tangents[1] if len(tangents) > 1 and name == "skew" else 0.0)


def matrix_text(affine: Affine) -> str:
    """A matrix as the value of a `transform` attribute."""
    parts = (affine.a, affine.b, affine.c, affine.d, affine.e, affine.f)
    return "matrix(" + " ".join(written(number_or(repr(part), 0.0)) for part in parts) + ")"
