"""The reader: bytes of one file to an `Artwork` that is safe to draw, with everything it could not honour said."""

from vectorprep.read.reader import ReadOptions, read_artwork

__all__ = ["ReadOptions", "read_artwork"]
