"""CSS colour syntax: what a colour token in a drawing means.

Comes in: the text of one colour or paint token in any syntax of CSS Color 4 (and `color-mix()` of CSS Color 5).
Goes out: `CssColour`: 8-bit sRGB with alpha, or the keyword it is, and whether the conversion was exact.
Never done here: the cascade, variables, mapping a colour to another.

Sources: CSS Color 4 (syntaxes, clamping, named colours), CSS Color 5 (`color-mix`, `light-dark`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from vectorprep.colour.css_mix import Spot, mix, split_arguments
from vectorprep.colour.css_names import NAMED, SYSTEM
from vectorprep.colour.okspace import hex_from_oklab
from vectorprep.colour.spaces import RGB_SPACES, convert, to_srgb
from vectorprep.colour.srgb import Triple, hex_from_rgb, rgb_from_hex

KEYWORDS: frozenset[str] = frozenset(
    {"none", "inherit", "initial", "unset", "revert", "revert-layer"}
    | {"currentcolor", "transparent", "context-fill", "context-stroke"}
)
_HEX = re.compile(r"#(?:[0-9a-f]{3,4}|[0-9a-f]{6}|[0-9a-f]{8})")
_FUNCTION = re.compile(r"([a-z][a-z0-9-]*)\(\s*(.*?)\s*\)", re.DOTALL)
LONGEST_TOKEN = 500  # characters; also bounds how deep mixtures nest, house value
_LARGEST = 1e6  # numbers beyond it are held: far outside every colour space, and products of it stay finite
_NUMBER = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)(%|deg|grad|rad|turn)?")
_SLACK = 1e-3  # of the encoded range, a quarter of one 8-bit step: rounding of the published matrices
_HALF = 0.5 + 1e-9  # halves go up, also where a matrix left them a hair below
_DEGREES = {"": 1.0, "deg": 1.0, "grad": 0.9, "rad": 57.29577951308232, "turn": 360.0}

COLOUR_FUNCTIONS: frozenset[str] = frozenset(
    {"rgb", "rgba", "hsl", "hsla", "hwb", "lab", "lch", "oklab", "oklch", "color", "color-mix", "light-dark", "device-cmyk"}
    | {"contrast-color", "color-contrast", "icc-color", "cielab", "cielch"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CssColour:
    """One colour token, understood.

    `kind`: `colour` (r, g, b 0..255 and alpha 0..1 hold its value), `unresolved` (a valid colour that cannot be computed
    here, such as one relative to another), or the keyword itself: `none inherit initial unset currentcolor transparent
    context-fill context-stroke`. `exact` is False where the value had to be brought into sRGB or has no fixed meaning;
    `note` then says why.
    """

    kind: str = "colour"
    r: int = 0
    g: int = 0
    b: int = 0
    alpha: float = 1.0
    exact: bool = True
    note: str = ""

    @property
    def hex(self) -> str:
        """`#rrggbb` without the alpha."""
        return hex_from_rgb(self.r, self.g, self.b)

    @property
    def text(self) -> str:
        """The token in its one normal form: `#rrggbb`, `rgba(r,g,b,a)` or the keyword."""
        return colour_text(self.hex, self.alpha) if self.kind == "colour" else _SPELLING.get(self.kind, self.kind)


_SPELLING = {"currentcolor": "currentColor"}  # some rasterisers take any other case for black


def colour_text(colour: str, alpha: float) -> str:
    """`#rrggbb` when opaque, else `rgba(r,g,b,a)` with a decimal alpha."""
    share = alpha_text(alpha)
    if share == "1":
        return colour
    red, green, blue = rgb_from_hex(colour)
    return f"rgba({red},{green},{blue},{share})"


def alpha_text(alpha: float) -> str:
    """Alpha as a plain decimal of up to six places."""
    return f"{min(1.0, max(0.0, alpha)):.6f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=1 << 14)
def parse_colour(text: str) -> CssColour | None:
    """What a colour token means, or None where CSS calls it invalid and drops the declaration."""
    token = text.strip().lower()
    if len(token) > LONGEST_TOKEN:
        return None
    if token.startswith("#"):
        return _from_hex(token)
    named = NAMED.get(token)
    if named is not None:
        red, green, blue = rgb_from_hex(named)
        return CssColour(r=red, g=green, b=blue)
    if token in KEYWORDS:
        return CssColour(kind="unset" if token.startswith("revert") else token)
    if token in SYSTEM:
        red, green, blue = rgb_from_hex(SYSTEM[token])
        return CssColour(r=red, g=green, b=blue, exact=False, note="a system colour has no fixed value")
    found = _FUNCTION.fullmatch(token)
    return _from_function(found[1], found[2]) if found else None


def _from_hex(token: str) -> CssColour | None:
    if _HEX.fullmatch(token) is None:
        return None
    digits = token[1:] if len(token) > 5 else "".join(digit * 2 for digit in token[1:])
    red, green, blue = rgb_from_hex("#" + digits[:6])
    alpha = int(digits[6:], 16) / 255 if len(digits) == 8 else 1.0
    return CssColour(r=red, g=green, b=blue, alpha=alpha)


def _from_function(name: str, body: str) -> CssColour | None:
    if name not in COLOUR_FUNCTIONS:
        return None
    if name == "light-dark":
        first = split_arguments(body)
        return parse_colour(first[0]) if len(first) == 2 else None
    if name == "color-mix":
        spot = mix(body, spot_of)
    elif name in _READERS and "(" not in body and not body.startswith("from "):
        spot = _read(name, body)
    else:
        return CssColour(kind="unresolved", exact=False, note=f"{name}() cannot be computed here")
    if spot == "unresolved":
        return CssColour(kind="unresolved", exact=False, note=f"{name}() depends on a colour not known here")
    return None if spot is None or isinstance(spot, str) else _in_srgb(*spot)


def spot_of(text: str) -> Spot | str | None:
    """A colour token as coordinates in the space it is written in; `unresolved` where it depends on others."""
    token = text.strip().lower()
    found = _FUNCTION.fullmatch(token)
    if found and found[1] in _READERS and "(" not in found[2] and not found[2].startswith("from "):
        return _read(found[1], found[2])
    if found and found[1] == "color-mix":
        return mix(found[2], spot_of)
    colour = parse_colour(token)
    if colour is None:
        return None
    if colour.kind == "transparent":
        return "srgb", (0.0, 0.0, 0.0), 0.0
    if colour.kind != "colour":
        return "unresolved" if colour.kind in {"currentcolor", "unresolved"} else None
    return "srgb", (colour.r / 255, colour.g / 255, colour.b / 255), colour.alpha


def _in_srgb(space: str, coordinates: Triple, alpha: float) -> CssColour:
    encoded = to_srgb(space, coordinates)
    exact = min(encoded) >= -_SLACK and max(encoded) <= 1 + _SLACK
    if exact:
        red, green, blue = (int(min(1.0, max(0.0, part)) * 255 + _HALF) for part in encoded)
    else:
        red, green, blue = rgb_from_hex(hex_from_oklab(*convert(coordinates, space, "oklab")))
    note = "" if exact else "outside sRGB: brought in by cutting chroma"
    return CssColour(r=red, g=green, b=blue, alpha=min(1.0, max(0.0, alpha)), exact=exact, note=note)


def _read(name: str, body: str) -> Spot | None:
    """Coordinates of a plain colour function."""
    legacy = "," in body
    if legacy:
        parts = [part.strip() for part in body.split(",")]
        alpha_part = parts.pop() if len(parts) == 4 else "1"
    else:
        main, _, after = body.partition("/")
        parts = main.split()
        alpha_part = after.strip() if after else "1"
    alpha = _share(alpha_part, 1.0)
    if alpha is None:
        return None
    space, coordinates = _READERS[name](parts, legacy)
    return None if coordinates is None else (space, coordinates, min(1.0, max(0.0, alpha)))


def _share(text: str, whole: float) -> float | None:
    """A number as it stands, a percentage as its share of `whole`, `none` as 0; None where it is neither."""
    if text == "none":
        return 0.0
    found = _NUMBER.fullmatch(text)
    if found is None or found[2] not in {None, "%"}:
        return None
    return _held(found[1]) * whole / 100 if found[2] else _held(found[1])


def _held(digits: str) -> float:
    return min(_LARGEST, max(-_LARGEST, float(digits)))


def _angle(text: str) -> float | None:
    if text == "none":
        return 0.0
    found = _NUMBER.fullmatch(text)
    return None if found is None or found[2] == "%" else _held(found[1]) * _DEGREES[found[2] or ""]


Read = tuple[str, Triple | None]


def _triple(values: list[float | None]) -> Triple | None:
    if len(values) != 3 or any(value is None for value in values):
        return None
    return values[0] or 0.0, values[1] or 0.0, values[2] or 0.0


def _read_rgb(parts: list[str], legacy: bool) -> Read:
    if legacy and len({part.endswith("%") for part in parts}) > 1:
        return "srgb", None
    channels = _triple([_share(part, 255.0) for part in parts])
    # Held before rounding: legacy sRGB has no values beyond its range (CSS Color 4, section 5.1).
    held = None if channels is None else tuple(min(255.0, max(0.0, channel)) / 255 for channel in channels)
    return "srgb", None if held is None else (held[0], held[1], held[2])


def _read_hue(space: str, parts: list[str], legacy: bool) -> Read:
    if len(parts) != 3 or (legacy and not (parts[1].endswith("%") and parts[2].endswith("%"))):
        return space, None
    values = _triple([_angle(parts[0]), _share(parts[1], 100.0), _share(parts[2], 100.0)])
    if values is None:
        return space, None
    return space, (values[0], min(100.0, max(0.0, values[1])), min(100.0, max(0.0, values[2])))


def _read_lab(space: str, reach: Triple, parts: list[str]) -> Read:
    if len(parts) != 3:
        return space, None
    polar = space.endswith("lch")
    last = _angle(parts[2]) if polar else _share(parts[2], reach[2])
    values = _triple([_share(parts[0], reach[0]), _share(parts[1], reach[1]), last])
    if values is None:
        return space, None
    light = min(reach[0], max(0.0, values[0]))
    if light in {0.0, reach[0]}:  # black and white, whatever the chroma (CSS Color 4, section 9)
        return space, (light, 0.0, 0.0)
    return space, (light, max(0.0, values[1]) if polar else values[1], values[2])


def _read_color(parts: list[str], legacy: bool) -> Read:
    if legacy or len(parts) != 4 or parts[0] not in RGB_SPACES:
        return "srgb", None
    return parts[0], _triple([_share(part, 1.0) for part in parts[1:]])


_READERS = {
    "rgb": _read_rgb,
    "rgba": _read_rgb,
    "hsl": lambda parts, legacy: _read_hue("hsl", parts, legacy),
    "hsla": lambda parts, legacy: _read_hue("hsl", parts, legacy),
    "hwb": lambda parts, legacy: ("hwb", None) if legacy else _read_hue("hwb", parts, legacy),
    "lab": lambda parts, legacy: ("lab", None) if legacy else _read_lab("lab", (100.0, 125.0, 125.0), parts),
    "lch": lambda parts, legacy: ("lch", None) if legacy else _read_lab("lch", (100.0, 150.0, 0.0), parts),
    "oklab": lambda parts, legacy: ("oklab", None) if legacy else _read_lab("oklab", (1.0, 0.4, 0.4), parts),
    "oklch": lambda parts, legacy: ("oklch", None) if legacy else _read_lab("oklch", (1.0, 0.4, 0.0), parts),
    "color": _read_color,
}
