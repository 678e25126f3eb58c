"""Clean SVG and a window on its page become pixels.

Comes in: clean SVG bytes, or an `Artwork` with a window in mm or a `Placement`; the size in whole pixels.
Goes out: a `Raster`, premultiplied, and the `Placement` corrected to what was drawn.
Never done here: reading untrusted bytes (the engines are not safe against them), deciding where ink goes, files.
"""

from vectorprep.engine.base import Engine
from vectorprep.engine.choose import engine_names, open_engine
from vectorprep.engine.placed import draw_placed, draw_reduced
from vectorprep.engine.window import draw_window

__all__ = ["Engine", "draw_placed", "draw_reduced", "draw_window", "engine_names", "open_engine"]
