"""What a seller may do with something that is not her own: a font, a photograph, a texture.

Every word is the seller's; nothing here is legal advice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Licence:
    """The record of one asset: `status` is the seller's own finding, or `unrecorded` where she has none."""

    name: str
    status: Literal["ok", "ask", "blocked", "unrecorded"]
    licence: str = ""
    """SPDX identifier, or the name of the text."""
    is_for_goods: bool = True
    """Whether goods that bear it may be sold."""
    evidence: str = ""
    """Where the proof is: a receipt, a file, an address."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LicenceRecord:
    """The assets that an artwork is made with, and whether every artwork has to name its own."""

    assets: tuple[Licence, ...] = ()
    is_required: bool = False


NO_RECORD = LicenceRecord()
