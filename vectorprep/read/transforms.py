"""Transforms: the CSS property in the attribute's syntax, and either one as a matrix.

Comes in: values of `transform`, `transform-origin`, `translate`, `rotate`, `scale`.
Goes out: one `transform` attribute that every renderer reads, or an `Affine`.
Never done here: walking a tree.

Source: CSS Transforms 1 and 2.
"""

from __future__ import annotations

import math
import re

from vectorprep.geometry import Affine
from vectorprep.read.notebook import Notebook
from vectorprep.read.numbers import NUMBER, length_px, number_or, written

_FUNCTION = re.compile(r"([a-zA-Z0-9]+)\s*\(([^()]*)\)")
_ARGUMENT = re.compile(rf"({NUMBER})\s*([a-zA-Z%]*)")
_HAS_UNITS = re.compile(r"[\d.]\s*(?:px|pt|mm|cm|in|em|rem|deg|rad|grad|turn|%)", re.IGNORECASE)
_CSS_ONLY = re.compile(r"\b(?:translate[XYZ]|scale[XYZ]|rotate[XYZ]|skew|\w+3d|perspective)\s*\(", re.IGNORECASE)
_DEGREES = {"": 1.0, "deg": 1.0, "rad": 180 / math.pi, "grad": 0.9, "turn": 360.0}
_EXTRA = ("transform-origin", "transform-box", "translate", "rotate", "scale")
_KEYWORDS = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}
_ORIENTED = frozenset(("feOffset", "feTurbulence", "feDisplacementMap"))


def plain_transform(found: dict[str, str], name: str, book: Notebook) -> None:
    """Replaces all transform properties among an element's attributes by one plain `transform`.

    `rotate` of text and `scale` of a displacement map are attributes of another meaning and stay.
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
    made = _combined(transform, extra, book)
    if made != Affine():
        found["transform"] = matrix_text(made)


def _combined(transform: str, extra: dict[str, str], book: Notebook) -> Affine:
    if extra.get("transform-box", "view-box") not in {"view-box", "border-box"} and _moves(extra):
        book.count("feature-not-drawn", "warning", "a transform about the object's own box is not supported", "transform-box")
    if "%" in transform + extra.get("translate", "") or _needs_box(extra):
        book.count("feature-not-drawn", "warning", "a transform in percent is not supported", transform or "transform-origin")
    inner = affine_of(transform)
    for key, function in (("scale", "scale"), ("rotate", "rotate"), ("translate", "translate")):
        if extra.get(key, "none") != "none":
            inner = affine_of(f"{function}({extra[key]})").after(inner)
    x, y = _origin(extra.get("transform-origin", ""))
    return Affine(e=x, f=y).after(inner).after(Affine(e=-x, f=-y))


def _moves(extra: dict[str, str]) -> bool:
    return "transform-origin" in extra


def _needs_box(extra: dict[str, str]) -> bool:
    return any(part not in {"0", "0%"} and ("%" in part) for part in _origin_parts(extra.get("transform-origin", "")))


def _origin_parts(text: str) -> list[str]:
    parts = [_KEYWORDS.get(part, part) for part in text.lower().split()[:2]]
    if len(parts) == 2 and text.lower().split()[0] in {"top", "bottom"}:
        parts.reverse()
    return parts


def _origin(text: str) -> tuple[float, float]:
    """Origin in user units; (0, 0) is where SVG elements have it."""
    parts = _origin_parts(text)
    numbers = [length_px(part, percent_of=0.0) or 0.0 for part in parts] + [0.0, 0.0]
    return numbers[0], numbers[1]


def affine_of(transform: str | None) -> Affine:
    """Matrix of a transform list, units of CSS understood; what is no transform counts as none."""
    made = Affine()
    if not transform:
        return made
    for name, inside in _FUNCTION.findall(transform):
        step = _step(name.lower(), _ARGUMENT.findall(inside))
        if step is not None:
            made = made.after(step)
    return made


def _step(name: str, arguments: list[tuple[str, str]]) -> Affine | None:
    angles = [float(value) * _DEGREES.get(unit.lower(), 1.0) for value, unit in arguments]
    lengths = [length_px(value + unit, percent_of=0.0) or 0.0 for value, unit in arguments]
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
