"""Clean SVG and a window on its page become pixels.

Comes in: clean SVG bytes, or an `Artwork` with a window in mm or a `Placement`; the size in whole pixels.
Goes out: a `Raster`, premultiplied, and the `Placement` corrected to what was drawn.
Never done here: reading untrusted bytes (the engines are not safe against them), deciding where ink goes, files.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vectorprep.engine.base import Engine
    from vectorprep.engine.choose import open_engine
    from vectorprep.engine.placed import draw_placed, draw_reduced
    from vectorprep.engine.versions import engine_names
    from vectorprep.engine.window import draw_window

__all__ = ["Engine", "draw_placed", "draw_reduced", "draw_window", "engine_names", "open_engine"]

_HOMES = {
    "Engine": "base",
    "draw_placed": "placed",
    "draw_reduced": "placed",
    "draw_window": "window",
    "engine_names": "versions",
    "open_engine": "choose",
}


def __getattr__(name: str) -> object:
    """Loads on first use: a run that finds everything made needs no rasteriser."""
    if name in _HOMES:
        return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module '{__name__}' has no attribute '{name}'")
