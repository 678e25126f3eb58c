"""Shelf of output kinds: one module each, found by itself.

Comes in: a `Picture`: an artwork drawn at its place for one product and some blanks.
Goes out: `Encoded` outputs, bytes and all.
Never done here: writing files, choosing names, judging.

A new kind is one module with `KIND: str` and `make(picture: Picture) -> tuple[Encoded, ...]`; nothing else changes.
"""

from vectorprep.outputs._border import cut_paths, within_cut
from vectorprep.outputs.picture import Picture, inside
from vectorprep.outputs.shelf import kinds, make

__all__ = ["Picture", "cut_paths", "inside", "kinds", "make", "within_cut"]
