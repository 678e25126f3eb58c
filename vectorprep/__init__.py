"""vectorprep: from a folder of SVG drawings to print files, previews, audits and a manifest.

The functions below are the public Python API; the command line calls the same ones. They return values and raise
`vectorprep.errors.VectorprepError`; they never print and never end the process.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from vectorprep.pipeline import (
        RunOptions,
        RunReport,
        audit_artworks,
        convert_artworks,
        measure_artwork,
        measure_artworks,
        recolour_artworks,
    )

__all__ = [
    "RunOptions",
    "RunReport",
    "__version__",
    "audit_artworks",
    "convert_artworks",
    "measure_artwork",
    "measure_artworks",
    "recolour_artworks",
]


def __getattr__(name: str) -> object:
    """The API loads on first use, so that `import vectorprep` and `--help` stay quick."""
    if name in __all__:
        return getattr(import_module("vectorprep.pipeline"), name)
    raise AttributeError(f"module 'vectorprep' has no attribute '{name}'")
