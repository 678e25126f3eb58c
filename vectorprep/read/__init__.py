"""The reader: bytes of one file to an `Artwork` that is safe to draw, with everything it could not honour said."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vectorprep.read.reader import ReadOptions, read_artwork

__all__ = ["ReadOptions", "read_artwork"]

_HOMES = {
    "ReadOptions": "reader",
    "read_artwork": "reader",
}


def __getattr__(name: str) -> object:
    """Loads on first use: a run that finds everything made reads no drawing."""
    if name in _HOMES:
        return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module '{__name__}' has no attribute '{name}'")
