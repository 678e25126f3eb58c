"""The findings of the measurement, in words.

Comes in: figures and places, in mm or fractions of the page.
Goes out: `Finding`s with their remedy.
Never done here: deciding whether something is found.
"""

from __future__ import annotations

from vectorprep.geometry import Box
from vectorprep.model import Finding, Page
from vectorprep.units import inches_from_mm

Sides = tuple[float, float, float, float]
SIDES = ("left", "top", "right", "bottom")


def length(mm: float) -> str:
    """Millimetres with inches behind."""
    return f"{mm:.1f} mm ({inches_from_mm(mm):.2f} in)"


def no_ink(*, any_ink: bool) -> Finding:
    """Nothing is painted that would be seen."""
    seen = "only ink too faint to print (under 3 % coverage)" if any_ink else "nothing"
    return Finding(
        check="no-ink",
        severity="error",
        message=f"the page shows {seen}",
        fix="show hidden layers, check opacity, and move art that lies outside the page onto it",
        measured=0.0,
        unit="px",
    )


def plate(colour: str, page: Page, *, is_dropped: bool) -> Finding:
    """A plain plate lies behind the art."""
    if is_dropped:
        message = f"a plain {colour} plate over the whole page was dropped, as the settings say"
        fix = 'set background = "keep" where it belongs to the art'
    else:
        message = f"a plain {colour} plate covers the whole page behind the art and will be printed as a rectangle"
        fix = 'delete it in the drawing, or set background = "drop"; background = "keep" in the settings says that it belongs there'
    return Finding(
        check="page-rectangle-behind-art",
        severity="note" if is_dropped else "warning",
        message=message,
        fix=fix,
        measured=colour,
        place_mm=(0.0, 0.0, page.width_mm, page.height_mm),
    )


def ink_outside(outside_mm: Sides, page: Page, *, is_recovered: bool) -> Finding:
    """Ink lies beyond the page, with how much on which side."""
    where = _listed([f"{length(reach)} beyond the {side}" for side, reach in zip(SIDES, outside_mm, strict=True) if reach])
    if is_recovered:
        message, fix = f"ink reaches {where} of the page and is kept, as the settings say", 'set page = "clip" to cut it off'
    else:
        message = f"ink reaches {where} of the page and is not printed"
        fix = 'move it onto the page or enlarge the page; page = "recover" in the settings prints it'
    left, top, right, bottom = outside_mm
    return Finding(
        check="ink-outside-page",
        severity="note" if is_recovered else "warning",
        message=message,
        fix=fix,
        measured=round(max(outside_mm), 3),
        limit=0.0,
        unit="mm",
        place_mm=(-left, -top, page.width_mm + right, page.height_mm + bottom),
    )


def ink_touches(sides: tuple[str, ...], page: Page) -> Finding:
    """Ink ends at the page's edge."""
    return Finding(
        check="ink-touches-page-edge",
        severity="warning",
        message=f"ink ends exactly at the page's edge ({_listed(list(sides))}), as if something were cut off there",
        fix="leave a little empty page around the art, or check that nothing is missing",
        measured=0.0,
        unit="mm",
        place_mm=(0.0, 0.0, page.width_mm, page.height_mm),
    )


def stray_ink(place: Box, page: Page) -> Finding:
    """A speck far from the rest makes the ink box larger."""
    box = Box(place.x0 * page.width_mm, place.y0 * page.height_mm, place.x1 * page.width_mm, place.y1 * page.height_mm)
    return Finding(
        check="stray-ink",
        severity="warning",
        message=f"a speck of {length(max(box.width, box.height))} lies far from the rest, {length(box.x0)} from the left and "
        f"{length(box.y0)} from the top of the page, and makes the print smaller",
        fix="delete it in the drawing if it was forgotten there",
        measured=round(max(box.width, box.height), 3),
        unit="mm",
        place_mm=box.corners,
    )


def any_ink_differs(ink: Box, any_ink: Box, pixels: int) -> Finding:
    """Faint ink reaches farther than the ink that is seen."""
    reach = max(ink.x0 - any_ink.x0, ink.y0 - any_ink.y0, any_ink.x1 - ink.x1, any_ink.y1 - ink.y1)
    return Finding(
        check="any-ink-differs",
        severity="warning",
        message=f"paint of under 3 % coverage reaches {length(reach)} ({pixels} px) farther than the ink that is seen; it is not "
        "cut off, and does not count for placement",
        fix="end soft shadows and fades nearer to the art, or make them stronger",
        measured=round(reach, 3),
        unit="mm",
        place_mm=any_ink.corners,
    )


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
