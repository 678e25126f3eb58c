"""What is done to the pixels of a print after drawing, where a seller asks for it.

Comes in: a premultiplied `Raster` at print size, lengths in pixels.
Goes out: a new `Raster`.
Never done here: deciding whether; limits; files; findings.
"""

from vectorprep.finish.border import bordered
from vectorprep.finish.coverage import cut, knocked_out, unblended, without_mist
from vectorprep.finish.dots import Screen, screened
from vectorprep.finish.fringe import with_edge_colour
from vectorprep.finish.sector import Wrap, bent, halved

__all__ = [
    "Screen",
    "Wrap",
    "bent",
    "bordered",
    "cut",
    "halved",
    "knocked_out",
    "screened",
    "unblended",
    "with_edge_colour",
    "without_mist",
]
