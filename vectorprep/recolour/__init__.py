"""Recolouring: which inks to change on a blank, by how little, and the change itself.

Comes in: inks, a blank, a policy; artworks and treatments.
Goes out: candidate treatments in order of the ladder, treated artworks, keylines as rasters and vectors.
Never done here: judging whether a picture is seen, files, drawing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vectorprep.recolour.apply import apply, recoloured
    from vectorprep.recolour.keyline import keyline_raster
    from vectorprep.recolour.ladder import propose
    from vectorprep.recolour.mapping import map_colours, map_colours_reported
    from vectorprep.recolour.outline import with_outline
    from vectorprep.recolour.policy import RecolourPolicy
    from vectorprep.recolour.wishes import enclosed_whites

__all__ = [
    "RecolourPolicy",
    "apply",
    "enclosed_whites",
    "keyline_raster",
    "map_colours",
    "map_colours_reported",
    "propose",
    "recoloured",
    "with_outline",
]

_HOMES = {
    "apply": "apply",
    "recoloured": "apply",
    "keyline_raster": "keyline",
    "propose": "ladder",
    "map_colours": "mapping",
    "map_colours_reported": "mapping",
    "with_outline": "outline",
    "RecolourPolicy": "policy",
    "enclosed_whites": "wishes",
}


def __getattr__(name: str) -> object:
    """Loads on first use: a run that finds everything made recolours nothing."""
    if name in _HOMES:
        return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module '{__name__}' has no attribute '{name}'")
