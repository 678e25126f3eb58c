"""The treatment carried out on the markup.

Comes in: an artwork and a treatment.
Goes out: a new artwork with other inks, or in one ink; everything else as it was.
Never done here: choosing; outlines, which are made from the raster (`keyline`) or as vectors (`outline`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.tree import parse_clean, serialise

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vectorprep.model import Artwork, Treatment


def apply(artwork: Artwork, treatment: Treatment) -> Artwork:
    """The artwork with the treatment's inks; the same artwork where the treatment changes no ink."""
    swaps = {swap.before: swap.after for swap in treatment.swaps}
    return recoloured(artwork, swaps) if swaps else artwork


def recoloured(artwork: Artwork, swaps: Mapping[str, str]) -> Artwork:
    """The artwork with each ink of the map replaced wherever it stands; other inks, alpha and shapes stay."""
    root = parse_clean(artwork.markup)
    rewrite_colours(root, lambda ink: swaps.get(ink, ink))
    return replace(artwork, markup=serialise(root))
