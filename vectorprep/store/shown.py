"""How a file's name is shown: any name of the disk comes in, text that prints safely everywhere goes out.

Bytes that are not UTF-8, control characters and characters that turn the reading direction are shown escaped.
Never done here: choosing the name of an output, or touching a file.
"""

from __future__ import annotations

import os
import unicodedata

# Explicit direction marks, embeddings, overrides and isolates (Unicode Standard Annex 9, section 2), and line separators.
_TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u2028\u2029")


def shown(name: str | os.PathLike[str]) -> str:
    r"""The name as it may be printed and written as UTF-8; a byte that is no UTF-8 becomes `\xNN`."""
    text = os.fsdecode(os.fspath(name))
    return "".join(map(_shown_character, text))


def _shown_character(character: str) -> str:
    code = ord(character)
    if 0xDC80 <= code <= 0xDCFF:
        return f"\\x{code - 0xDC00:02x}"
    if character in _TURNING or unicodedata.category(character) in {"Cc", "Cs"}:
        return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"
    return character
