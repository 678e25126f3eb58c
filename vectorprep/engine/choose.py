"""Which engine draws: by name, or the fastest that is installed, with the base engine behind it.

Comes in: a name or None, and the font files that text may use.
Goes out: an `Engine`.
Never done here: drawing.
"""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING

from vectorprep.engine.base import Engine
from vectorprep.engine.resvg_py import ResvgPy
from vectorprep.errors import PartMissing, UsageError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.engine.svg2png_py import Svg2pngPy

_CLASSES = {"resvg-py": "ResvgPy", "svg2png-py": "Svg2pngPy", "cairosvg": "CairoSvg", "librsvg": "Librsvg"}


def engine_names() -> tuple[str, ...]:
    """The names that `open_engine` knows, installed or not."""
    return tuple(_CLASSES)


class FastFirst(Engine):
    """The fast engine, and the base engine for each picture that the fast one cannot draw."""

    def __init__(self, fast: Svg2pngPy, base: ResvgPy) -> None:
        self.fast, self.base = fast, base
        self.name = fast.name
        self.version = f"{fast.version}, else {base.name} {base.version}"

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels from the first engine that gives them."""
        if not self.fast.covers(markup):
            return self.base.pixels(markup)
        try:
            return self.fast.pixels(markup)
        except (KeyboardInterrupt, SystemExit):
            raise
        except BaseException:  # noqa: BLE001 - a panic is a BaseException; the newer resvg of the base engine often draws it
            return self.base.pixels(markup)


def open_engine(name: str | None = None, *, font_files: tuple[str, ...] = ()) -> Engine:
    """The engine of that name; without a name the fastest that is installed.

    Args:
        name: `resvg-py`, `svg2png-py` or `cairosvg`.
        font_files: files whose families text may use; no other font is loaded.

    Raises:
        UsageError: no engine has that name.
        PartMissing: the engine, or a library it needs, is not installed.
    """
    wanted = "svg2png-py" if name is None else name.strip().lower().replace("_", "-")
    if wanted not in _CLASSES:
        raise UsageError(f"there is no engine '{name}'", fix=f"use one of {', '.join(_CLASSES)}", code="engine-unknown")
    if name is None and find_spec("svg2png_py") is None:
        wanted = "resvg-py"
    module = wanted.replace("-", "_")
    try:
        engine: Engine = getattr(import_module(f"vectorprep.engine.{module}"), _CLASSES[wanted])(font_files)
    except (ImportError, OSError) as fault:
        raise PartMissing(
            f"engine {wanted} cannot be used: {fault}", fix=f"install {wanted}, or leave --engine out", code="engine-missing"
        ) from fault
    if wanted == "svg2png-py":
        return FastFirst(engine, ResvgPy(font_files))  # type: ignore[arg-type]
    return engine
