"""The order of the line, and the public Python API.

Comes in: paths or bytes of drawings, an out folder, options. Goes out: a `RunReport` with the run's record and exit code.
One bad artwork never stops the others. Never done here: printing, parsing of the command line, drawing, writing by other
means than `store`.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vectorprep.pipeline.api import (
        audit_artworks,
        convert_artworks,
        measure_artwork,
        measure_artworks,
        recolour_artworks,
        verify_outputs,
    )
    from vectorprep.pipeline.options import Progress, RunOptions, RunReport

__all__ = [
    "Progress",
    "RunOptions",
    "RunReport",
    "audit_artworks",
    "convert_artworks",
    "measure_artwork",
    "measure_artworks",
    "recolour_artworks",
    "verify_outputs",
]

_HOMES = {
    "Progress": "options",
    "RunOptions": "options",
    "RunReport": "options",
    "audit_artworks": "api",
    "convert_artworks": "api",
    "measure_artwork": "api",
    "measure_artworks": "api",
    "recolour_artworks": "api",
    "verify_outputs": "api",
}


def __getattr__(name: str) -> object:
    """Loads on first use: a worker needs none of it, and the command line its options alone."""
    if name in _HOMES:
        return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module '{__name__}' has no attribute '{name}'")
