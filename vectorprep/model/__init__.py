"""The frozen values that travel between rooms.

All are keyword-only frozen records of plain numbers, text, bytes and tuples, so that they compare, hash and pickle.
Units stand in the names: `_mm`, `_px`, `_uu` (user unit of the drawing). Boxes on a page run from its top-left corner, y down.
"""

from vectorprep.model.artwork import (
    Artwork,
    EmbeddedImage,
    Ink,
    Measurement,
    Page,
    TextRun,
)
from vectorprep.model.product import (
    Blank,
    CutRule,
    FileRule,
    HeavyCover,
    InkPolicy,
    KeepOut,
    Limits,
    OpticalShift,
    PlacementRule,
    Product,
)
from vectorprep.model.result import (
    Encoded,
    Explanation,
    FadedPart,
    Finding,
    InkSwap,
    Output,
    Pair,
    Placed,
    Placement,
    Raster,
    Treatment,
    Verdict,
)
from vectorprep.model.scene import Area, Photograph, Scene, SceneRecord
from vectorprep.model.taper import Taper

__all__ = [
    "Area",
    "Artwork",
    "Blank",
    "CutRule",
    "EmbeddedImage",
    "Encoded",
    "Explanation",
    "FadedPart",
    "FileRule",
    "Finding",
    "HeavyCover",
    "Ink",
    "InkPolicy",
    "InkSwap",
    "KeepOut",
    "Limits",
    "Measurement",
    "OpticalShift",
    "Output",
    "Page",
    "Pair",
    "Photograph",
    "Placed",
    "Placement",
    "PlacementRule",
    "Product",
    "Raster",
    "Scene",
    "SceneRecord",
    "Taper",
    "TextRun",
    "Treatment",
    "Verdict",
]
