"""Fonts: which faces there are, what they hold, and which one a text gets."""

from vectorprep.fonts.faces import FontFace
from vectorprep.fonts.index import GENERIC_FAMILIES, FontIndex, load_index

__all__ = ["GENERIC_FAMILIES", "FontFace", "FontIndex", "load_index"]
