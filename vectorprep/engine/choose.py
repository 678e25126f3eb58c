"""Which engine draws: by name, or the fastest that is installed, with the base engine behind it.

Comes in: a name or None, and the font files that text may use.
Goes out: an `Engine`.
Never done here: drawing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from vectorprep.engine.base import Engine
from vectorprep.engine.families import names_families
from vectorprep.engine.resvg_py import ResvgPy
from vectorprep.engine.versions import QUICK_MODULES, chosen, full_version
from vectorprep.errors import PartMissing

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_CLASSES = {"svg2png-py": "Svg2pngPy", "resvg": "Resvg", "resvg-py": "ResvgPy", "cairosvg": "CairoSvg", "librsvg": "Librsvg"}


class QuickFirst(Engine):
    """A quick engine, and the base engine for each picture that the quick one cannot draw."""

    def __init__(self, quick: Engine, base: ResvgPy) -> None:
        self.quick, self.base = quick, base
        self.name = quick.name
        self.version = full_version(quick.name)

    def pixels(self, markup: bytes) -> NDArray[np.uint8]:
        """Premultiplied pixels from the first engine that gives them."""
        if not names_families(markup):
            return self.base.pixels(markup)
        try:
            return self.quick.pixels(markup)
        except (KeyboardInterrupt, SystemExit):
            raise
        except BaseException:  # noqa: BLE001 - a panic is a BaseException; the newer resvg of the base engine often draws it
            return self.base.pixels(markup)


def open_engine(name: str | None = None, *, font_files: tuple[str, ...] = ()) -> Engine:
    """The engine of that name; without a name the quickest that is installed.

    Args:
        name: one of `engine_names`.
        font_files: files whose families text may use; no other font is loaded.

    Raises:
        UsageError: no engine has that name.
        PartMissing: the engine, or a library it needs, is not installed.
    """
    wanted = chosen(name)
    module = f"vectorprep.engine.{wanted.replace('-', '_')}"
    try:
        engine: Engine = getattr(import_module(module), _CLASSES[wanted])(font_files)
    except (ImportError, OSError) as fault:
        raise PartMissing(
            f"engine {wanted} cannot be used: {fault}", fix=f"install {wanted}, or leave --engine out", code="engine-missing"
        ) from fault
    return QuickFirst(engine, ResvgPy(font_files)) if wanted in QUICK_MODULES else engine
