"""Recolouring: which inks to change on a blank, by how little, and the change itself.

Comes in: inks, a blank, a policy; artworks and treatments.
Goes out: candidate treatments in order of the ladder, treated artworks, keylines as rasters and vectors.
Never done here: judging whether a picture is seen, files, drawing.
"""

from vectorprep.recolour.apply import apply, recoloured
from vectorprep.recolour.keyline import keyline_raster
from vectorprep.recolour.ladder import propose
from vectorprep.recolour.mapping import map_colours, map_colours_reported
from vectorprep.recolour.outline import outlined, with_outline
from vectorprep.recolour.policy import RecolourPolicy
from vectorprep.recolour.wishes import enclosed_whites

__all__ = [
    "RecolourPolicy",
    "apply",
    "enclosed_whites",
    "keyline_raster",
    "map_colours",
    "map_colours_reported",
    "outlined",
    "propose",
    "recoloured",
    "with_outline",
]
