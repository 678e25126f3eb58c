"""The treatment carried out on the markup.

Comes in: an artwork and a treatment.
Goes out: a new artwork with other inks, in one ink, or with ink left out; everything else as it was.
Never done here: choosing; outlines, which are made from the raster (`keyline`) or as vectors (`outline`).

Leaving ink out cannot be done by a transparent paint: what lies under it would show. A luminance mask does it exactly: the
drawing in white and black is its own coverage, edges included.
"""

from __future__ import annotations

from base64 import b64encode
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from lxml import etree

from vectorprep.colour import delta_e_2000, lightness
from vectorprep.geometry import Box
from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.tree import parse_clean, serialise, svg_tag

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from vectorprep.markup.rasters import Pixels, Tones
    from vectorprep.markup.tree import Element
    from vectorprep.model import Artwork, Treatment

MASK_ID = "vectorprep-ink"
PRINTED, LEFT_OPEN = "#ffffff", "#000000"
LUMA = np.array([0.2126, 0.7152, 0.0722])  # Rec. ITU-R BT.709, weights of red, green and blue
MIDDLE_L = 50.0
"""L* below which an ink is dark: its tones print where a picture is dark (house value)."""
MARGIN = 1
"""Sizes of the page around it that a mask covers where ink beyond the page belongs to the drawing; engines pay for each."""


def apply(artwork: Artwork, treatment: Treatment) -> Artwork:
    """The artwork with the treatment's inks; the same artwork where the treatment changes no ink."""
    opened = {swap.before for swap in treatment.swaps if swap.is_open}
    changed = {swap.before: swap.after for swap in treatment.swaps if not swap.is_open}
    if treatment.kind == "single-ink":
        return in_one_ink(artwork, treatment.single_ink, printed=set(changed), opened=opened)
    result = recoloured(artwork, changed, keeps_shades=treatment.keeps_shades) if changed else artwork
    return left_out(artwork, result, opened) if opened else result


def recoloured(artwork: Artwork, swaps: Mapping[str, str], *, keeps_shades: bool = False) -> Artwork:
    """The artwork with each ink of the map replaced wherever it stands; other inks, alpha and shapes stay.

    Photographs and soft shadow pictures stay too, gradients that shade where that is asked for: a shadow in white is a glow.
    """
    markup = _mapped(artwork.markup, lambda ink: swaps.get(ink, ink), lambda pixels: pixels, keeps_shades=keeps_shades)
    return replace(artwork, markup=markup)


def in_one_ink(artwork: Artwork, colour: str, *, printed: set[str], opened: set[str]) -> Artwork:
    """The artwork in one ink: coverage from the drawing in white where it prints and black where it stays open.

    Args:
        artwork: what is to be drawn.
        colour: the ink, `#rrggbb`.
        printed: inks that print.
        opened: inks that stay open; any other colour of the markup follows the nearest of both.
    """
    known = sorted(printed | opened)

    def state(ink: str) -> str:
        nearest = ink if ink in known or not known else min(known, key=lambda other: delta_e_2000(ink, other))
        return PRINTED if nearest in printed else LEFT_OPEN

    root = parse_clean(_mapped(artwork.markup, state, _dark_tones if lightness(colour) < MIDDLE_L else _light_tones))
    page = _around(artwork)
    mask = _mask(page)
    mask.extend(list(root))
    root.text = None
    root.append(mask)
    root.append(_plate(page, colour, masked=True))
    return replace(artwork, markup=serialise(root))


def left_out(artwork: Artwork, treated: Artwork, opened: set[str]) -> Artwork:
    """The treated artwork with some inks of the drawing cut out of it, so that the cloth shows."""
    cut = _mapped(artwork.markup, lambda ink: LEFT_OPEN if ink in opened else PRINTED, _covered)
    page = _around(artwork)
    mask = _mask(page)
    mask.append(_plate(page, PRINTED, masked=False))
    mask.append(_picture(cut, page))
    root = parse_clean(treated.markup)
    group = etree.Element(svg_tag("g"), mask=f"url(#{MASK_ID})")
    group.extend(list(root))
    root.text = None
    root.append(mask)
    root.append(group)
    return replace(treated, markup=serialise(root))


def _mapped(markup: bytes, mapping: Callable[[str], str], tones: Tones, *, keeps_shades: bool = False) -> bytes:
    root = parse_clean(markup)
    rewrite_colours(root, mapping, tones=tones, keeps_shades=keeps_shades)
    return serialise(root)


def _covered(pixels: Pixels) -> Pixels:
    """A picture as its coverage in white: all of it prints."""
    shown = pixels.copy()
    shown[..., :3] = 255
    return shown


def _light_tones(pixels: Pixels) -> Pixels:
    """A picture as coverage with a light ink: as light as it is (Rec. 709 luma)."""
    shown = pixels.copy()
    shown[..., :3] = np.rint(pixels[..., :3] @ LUMA)[..., None]
    return shown


def _dark_tones(pixels: Pixels) -> Pixels:
    """The same with a dark ink: as dark as it is, or it would come out as a negative."""
    shown = _light_tones(pixels)
    shown[..., :3] = 255 - shown[..., :3]
    return shown


def _around(artwork: Artwork) -> Box:
    """A box in user units that holds the page, and ink around it where that counts."""
    page = artwork.page
    margin = MARGIN if artwork.is_unclipped else 0
    over_x, over_y = page.width_px * margin, page.height_px * margin
    return page.uu_to_px.inverse().box(Box(-over_x, -over_y, page.width_px + over_x, page.height_px + over_y))


def _frame(box: Box) -> dict[str, str]:
    return {"x": f"{box.x0:.6g}", "y": f"{box.y0:.6g}", "width": f"{box.width:.6g}", "height": f"{box.height:.6g}"}


def _mask(box: Box) -> Element:
    return etree.Element(svg_tag("mask"), {"id": MASK_ID, "maskUnits": "userSpaceOnUse", **_frame(box)})


def _plate(box: Box, colour: str, *, masked: bool) -> Element:
    plate = etree.Element(svg_tag("rect"), {"fill": colour, "stroke": "none", **_frame(box)})
    if masked:
        plate.set("mask", f"url(#{MASK_ID})")
    return plate


def _picture(markup: bytes, box: Box) -> Element:
    """The drawing as a picture of its own, so that its ids and style sheets do not meet those of the drawing around it."""
    root = parse_clean(markup)
    root.set("viewBox", " ".join(_frame(box).values()))
    root.set("width", f"{box.width:.6g}")
    root.set("height", f"{box.height:.6g}")
    root.set("preserveAspectRatio", "none")
    data = b64encode(serialise(root)).decode("ascii")
    attributes = {"href": f"data:image/svg+xml;base64,{data}", "preserveAspectRatio": "none", **_frame(box)}
    return etree.Element(svg_tag("image"), attributes)
