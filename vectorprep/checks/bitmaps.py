"""Embedded bitmaps at the printed size: too few pixels, far more than the printer can use, or colours that had to be converted.

Comes in: evidence with the artwork's bitmaps. Goes out: `image-resolution-low`, `image-resolution-excessive`, `image-colour-space`.
Never done here: decoding pictures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from vectorprep.checks._evidence import Evidence, OnBlank, print_corners
from vectorprep.model import EmbeddedImage, Explanation, Finding, Limits
from vectorprep.units import shortest

SLUGS = {
    "image-resolution-low": Explanation(
        cause="A bitmap inside the drawing has too few pixels for the size at which it is printed.",
        consequence="It prints soft or in visible squares, while the vectors around it stay sharp.",
        remedy="Put a larger picture in, or print the art smaller; the message names the largest width that still holds.",
    ),
    "image-resolution-excessive": Explanation(
        cause="A bitmap inside the drawing has more than twice the pixels that the printer can use.",
        consequence="Nothing in print; the drawing is larger and slower than it needs to be.",
        remedy="Leave it, or save the picture smaller.",
    ),
    "image-colour-space": Explanation(
        cause="A bitmap inside the drawing is not in sRGB, or is in CMYK without a profile that says what its inks look like.",
        consequence="Its colours were converted, without a profile by a rule of thumb, and may differ from what you see elsewhere.",
        remedy="Convert the picture to sRGB in an image editor, look at it, and embed it again.",
    ),
}
GREY_MODES = frozenset({"1", "L", "LA", "I", "I;16"})
RULING_FACTORS = (2.0, 1.5, 1.41)
"""Pixels per halftone cell that a picture should have: enough, sparing, the least (trade press: 1.41 to 2 times the ruling)."""
EXCESS = 2.0  # common practice, no source: above twice the target pixels are wasted


def check(evidence: Evidence) -> Iterator[Finding]:
    """One finding per bitmap, by the limits of the strictest blank."""
    if not evidence.artwork.images or not evidence.on_blanks:
        return
    limits = max((_limits(on) for on in evidence.on_blanks), key=lambda limit: limit.image_warn_below_ppi or 0.0)
    for image in evidence.artwork.images:
        yield from _colours(evidence, image)
        ppi = effective_ppi(image, evidence.scale)
        if ppi is not None:
            yield from _judged(evidence, image, limits, ppi)


def _limits(on: OnBlank) -> Limits:
    """The limits on a blank; where tones are printed as dots, no lower than the dots can use."""
    ruling = on.ink_policy.halftone_ruling_lpi
    if ruling is None or on.limits.image_warn_below_ppi is None:
        return on.limits
    return replace(on.limits, image_warn_below_ppi=max(on.limits.image_warn_below_ppi, ppi_for_ruling(ruling, RULING_FACTORS[-1])))


def ppi_for_ruling(ruling_lpi: float, factor: float) -> float:
    """Pixels per inch that a picture needs at a halftone ruling (lines per inch), by pixels to a cell."""
    return ruling_lpi * factor


def _colours(evidence: Evidence, image: EmbeddedImage) -> Iterator[Finding]:
    is_srgb = not image.icc or "srgb" in image.icc.lower().replace(" ", "")
    if image.mode != "CMYK" and (is_srgb or image.mode in GREY_MODES):
        return
    profile = image.icc or "no profile"
    yield Finding(
        check="image-colour-space",
        severity="warning",
        message=f"a bitmap of {image.width_px} x {image.height_px} px is {image.mode} with {profile}; it was converted to sRGB",
        fix="convert the picture to sRGB in an image editor and embed it again",
        measured=f"{image.mode}, {profile}",
        limit="sRGB",
        place_mm=_place(evidence, image),
        place_on="print",
    )


def effective_ppi(image: EmbeddedImage, scale: float) -> float | None:
    """Pixels per printed inch along the coarser side, through the whole transform chain; None for a picture without extent.

    Args:
        image: with the lengths of its sides on the page, mm.
        scale: printed mm per mm of the page.
    """
    sides = zip((image.width_px, image.height_px), image.drawn_mm, strict=True)
    found = [pixels / (length * scale / 25.4) for pixels, length in sides if length * scale > 0]
    return min(found) if found else None


def _judged(evidence: Evidence, image: EmbeddedImage, limits: Limits, ppi: float) -> Iterator[Finding]:
    warn, fail = limits.image_warn_below_ppi, limits.image_fail_below_ppi
    if warn is not None and ppi < warn:
        is_bad = fail is not None and ppi < fail
        limit = fail if is_bad else warn
        width_mm = evidence.placement.placed[0].printed_mm[0] * ppi / warn
        yield Finding(
            check="image-resolution-low",
            severity="error" if is_bad else "warning",
            message=f"a bitmap of {image.width_px} x {image.height_px} px prints at {ppi:.0f} ppi, below {limit:.0f}",
            fix=f"put a larger picture in, or print the art at most {_down(width_mm / 25.4, 2)} in ({_down(width_mm, 0)} mm) wide",
            measured=round(ppi, 1),
            limit=limit,
            unit="ppi",
            place_mm=_place(evidence, image),
            place_on="print",
        )
    elif limits.image_ideal_ppi is not None and ppi > EXCESS * limits.image_ideal_ppi:
        yield Finding(
            check="image-resolution-excessive",
            severity="note",
            message=f"a bitmap of {image.width_px} x {image.height_px} px prints at {ppi:.0f} ppi, more than the printer can use",
            fix="leave it, or save the picture smaller",
            measured=round(ppi, 1),
            limit=EXCESS * limits.image_ideal_ppi,
            unit="ppi",
            place_mm=_place(evidence, image),
            place_on="print",
        )


def _down(length: float, digits: int) -> str:
    """A length rounded down: a limit rounded up would be passed by who keeps to it."""
    scale = 10**digits
    return shortest(math.floor(length * scale + 1e-6) / scale, digits)


def _place(evidence: Evidence, image: EmbeddedImage) -> tuple[float, float, float, float]:
    placed = evidence.placement.placed[0]
    x, y = placed.offset_px
    x0, y0, x1, y1 = (corner * placed.px_per_mm for corner in image.box_mm)
    return print_corners(evidence, (x0 + x, y0 + y, x1 + x, y1 + y))
