"""What the seller chose: `vectorprep.toml` in, `Settings` out, and what of it applies to one artwork on one product.

Comes in: TOML text.
Goes out: frozen records with defaults filled in.
Never done here: file access, or flags of the command line.
"""

from vectorprep.settings.load import Known, load_settings
from vectorprep.settings.record import (
    ArtworkSettings,
    ArtworkTable,
    Choices,
    GangSettings,
    ListingTexts,
    PictureSettings,
    PrintSize,
    Settings,
    effective,
)
from vectorprep.settings.starter import STARTER

__all__ = [
    "STARTER",
    "ArtworkSettings",
    "ArtworkTable",
    "Choices",
    "GangSettings",
    "Known",
    "ListingTexts",
    "PictureSettings",
    "PrintSize",
    "Settings",
    "effective",
    "load_settings",
]
