"""Hostile and awkward drawings that once were drawn wrongly, without a word, too slowly or with too much memory; each with what is due."""

from __future__ import annotations

import math
import struct
import zlib

from tests.hostile.hostile_cases import KEEP, Case, chunk, css, doctype, doubled, frames, picture, png, several, svg, uri

SMALL = png(4, 4)


def _crc(data: bytes) -> bytes:
    """The rest of a PNG after its header, whose sum is set for a palette picture."""
    return struct.pack(">I", zlib.crc32(data[12:25] + b"\3" + data[26:29])) + data[33:]


def _packed(size: int) -> bytes:
    return zlib.compress(b"A" * size)


def _noise(side: int) -> bytes:
    """A picture that cannot be packed."""
    rows = b"".join(b"\0" + bytes((n * n * 31 + n * row * 17) % 251 for n in range(side)) for row in range(side))
    return png(side, side, idat=zlib.compress(rows))


def _dots(count: int, shape: str) -> bytes:
    side = math.isqrt(count)
    return svg("".join(shape.format(x=n % side * 98 / side + 1, y=n // side * 98 / side + 1) for n in range(count)), keep="")


WARNED = (
    *several(
        "drawn",
        "animation-dropped",
        {
            "found picture gif animated": lambda: picture(frames("GIF"), "image/gif"),
            "found picture webp animated": lambda: picture(frames("WEBP"), "image/webp"),
            "found picture png animated": lambda: picture(frames("PNG")),
            "found animation by keyframes": lambda: css("@keyframes k{from{opacity:1}to{opacity:0}}rect{animation:k 1s infinite}"),
        },
    ),
    *several("drawn", "css-import-dropped", {"found import with escapes": lambda: css(r"@\69mport url(canary.css);")}),
    *several(
        "drawn",
        "css-rule-left-out",
        {
            "found selector of many ancestors": lambda: svg(
                f"<style>x {'* ' * 40}g{{fill:red}}</style>" + "<g>" * 60 + "<rect/>" * 1000 + "</g>" * 60
            ),
        },
    ),
)
REFUSED = (
    *several(
        "refused",
        "entity-bomb",
        {"found attribute defaults": lambda: svg("<g/>" * 1000, head=doctype(f'<!ATTLIST g id CDATA "{"x" * 9999}">'))},
    ),
    *several(
        "refused",
        "picture-broken",
        {
            "found palette missing": lambda: picture(SMALL[:25] + b"\3" + SMALL[26:29] + _crc(SMALL)),
            "found profile that is a bomb": lambda: picture(png(4, 4, extra=chunk(b"iCCP", b"k\0\0" + _packed(100_000_000)))),
        },
    ),
    *several(
        "refused",
        "reference-bomb",
        {
            "found drawing in a drawing many times": lambda: svg(
                f'<image width="50" height="50" href="{uri(svg(doubled(4, 12)), "image/svg+xml")}"/>' * 30
            )
        },
    ),
    *several(
        "refused",
        "picture-too-often",
        {
            "found picture many times": lambda: svg(
                f'<defs><image id="i" width="3" height="3" href="{uri(_noise(128))}"/></defs>' + '<use href="#i"/>' * 20_000
            )
        },
    ),
    *several(
        "refused",
        "pattern-too-large",
        {
            "found pattern of nine pages": lambda: svg(
                '<pattern id="p" patternUnits="userSpaceOnUse" width="300" height="300"><circle r="9"/></pattern>'
                '<rect width="90" height="90" fill="url(#p)"/>'
            )
        },
    ),
)
DRAWN = several(
    "drawn",
    "",
    {
        "found picture with much text": lambda: picture(png(4, 4, extra=chunk(b"zTXt", b"k\0\0" + _packed(100_000_000)))),
        "found attribute default of a colour": lambda: svg(
            '<rect x="30" y="30" width="40" height="40"/>', keep="", head=doctype('<!ATTLIST rect fill CDATA "#00a651">')
        ),
        "found ink of a thousand pages": lambda: svg(f'<rect width="9e6" height="9"/>{KEEP}'),
        "found picture of a thousand pages": lambda: svg(f'<image width="99999" height="99999" href="{uri(SMALL)}"/>'),
        "found letter of a hundred pages": lambda: svg('<text x="-4000" y="4000" font-size="15000">A</text>'),
        "found pattern that fills itself": lambda: svg(
            '<pattern id="p" width="9" height="9" fill="url(#p)"><rect width="9" height="9"/></pattern>'
            '<rect width="20" height="20" fill="url(#p)"/>'
        ),
        "found many dots": lambda: _dots(20_000, '<circle cx="{x:.2f}" cy="{y:.2f}" r=".25" fill="#a33"/>'),
        "found many strokes": lambda: _dots(
            6_000, '<path d="M{x:.2f} {y:.2f}q3 1 6 -1" stroke="#333" stroke-width=".2" fill="none"/>'
        ),
    },
)

FOUND: tuple[Case, ...] = (*WARNED, *REFUSED, *DRAWN)
