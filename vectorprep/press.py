"""What a press makes of inks, by its ICC profile: colours there and back again, and how much ink they take.

Comes in: the bytes of an output profile, `#rrggbb` inks.
Goes out: for each ink the colour that it prints as, how far that is from it, the nearest colour the press can print, its total ink.
Never done here: reading files, deciding what is too far, pictures pixel by pixel.

Both ways relative colorimetric with black point compensation: without it on the way back plain black would count as out of reach.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image, ImageCms

from vectorprep.colour import delta_e_2000, hex_from_oklch, hex_from_rgb, oklch, rgb_from_hex
from vectorprep.colour.arrays import delta_e_2000 as delta_e_arrays
from vectorprep.colour.arrays import lab, linear_from_srgb8

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]

SIGNATURE = slice(36, 40)  # ICC.1, header: its first four bytes are the size, these are "acsp"
OUTPUT_CLASS = "prtr"  # ICC.1, profile class of output devices
MODES = {"CMYK": "CMYK", "RGB": "RGB", "GRAY": "L"}
"""Device colours that can be computed, by the profile's signature, as modes of pixels."""
CHROMA_SHARES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6, 0.5, 0.4)
LIGHT_STEPS = (0.0, 0.02, -0.02, 0.04, -0.04, 0.07, -0.07, 0.1, -0.1, 0.14, -0.14)
"""Neighbours of an ink, in OKLCH, whose prints are looked at for the nearest one."""


class PressProfileError(ValueError):
    """The bytes are no profile that inks can be checked with; the text says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PressProfile:
    """An output profile: the name it is spoken of by, its bytes, and total ink in percent above which a print may not dry."""

    name: str
    data: bytes
    total_ink_limit_percent: float | None = None
    """As the settings state it; None = what the product says, else the usual 300 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedInk:
    """One ink on the press: what it prints as, CIEDE2000 to it, the nearest colour that prints.

    `parts_percent` holds cyan, magenta, yellow and black, `total_ink_percent` their sum; empty and None unless the press is CMYK.
    """

    ink: str
    prints_as: str
    delta_e: float
    nearest: str
    total_ink_percent: float | None
    parts_percent: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Press:
    mode: str
    there: Any
    back: Any

    def device(self, colours: Bytes) -> Bytes:
        """Device codes (n, channels) of sRGB colours (n, 3)."""
        return _applied(colours[None], self.there).reshape(len(colours), -1)

    def printed(self, colours: Bytes) -> Bytes:
        """What sRGB colours (n, 3) print as."""
        codes = _applied(colours[None], self.there)
        shown: Bytes = _applied(codes, self.back, self.mode)[0]
        return shown


def _applied(codes: Bytes, transform: Any, mode: str = "RGB") -> Bytes:
    """Codes (1, n, channels) sent through a transform."""
    height, width = codes.shape[:2]
    found = ImageCms.applyTransform(Image.frombytes(mode, (width, height), codes.tobytes()), transform)
    assert found is not None, "no transform in place was asked for"
    return np.asarray(found)


def check_press_profile(data: bytes) -> None:
    """Nothing, where inks can be checked with a profile.

    Raises:
        PressProfileError: no ICC profile, none of an output device, of other colours than CMYK, RGB or grey, or one-way only.
    """
    _press(data)


def printed_inks(inks: Sequence[str], profile: PressProfile) -> tuple[PrintedInk, ...]:
    """Each ink `#rrggbb` on the press, in the order given.

    Raises:
        PressProfileError: as in `check_press_profile`.
    """
    if not inks:
        return ()
    press = _press(profile.data)
    wanted = np.array([rgb_from_hex(ink) for ink in inks], np.uint8)
    device, printed = press.device(wanted), press.printed(wanted)
    found = []
    for ink, codes, shown in zip(inks, device.tolist(), printed.tolist(), strict=True):
        prints_as = hex_from_rgb(*shown)
        found.append(
            PrintedInk(
                ink=ink,
                prints_as=prints_as,
                delta_e=delta_e_2000(ink, prints_as),
                nearest=_nearest(ink, press),
                total_ink_percent=sum(codes) / 2.55 if press.mode == "CMYK" else None,
                parts_percent=tuple(code / 2.55 for code in codes) if press.mode == "CMYK" else (),
            )
        )
    return tuple(found)


def _nearest(ink: str, press: _Press) -> str:
    """The print, of the ink itself and its neighbours, that differs least from the ink."""
    light, chroma, hue = oklch(ink)
    around = dict.fromkeys(
        hex_from_oklch(min(1.0, max(0.0, light + step)), chroma * share, hue) for share in CHROMA_SHARES for step in LIGHT_STEPS
    )
    tried = np.array([rgb_from_hex(colour) for colour in (ink, *around)], np.uint8)
    prints = press.printed(tried)
    apart = delta_e_arrays(lab(linear_from_srgb8(tried[:1])), lab(linear_from_srgb8(prints)))
    return hex_from_rgb(*prints[int(np.argmin(apart))].tolist())


@lru_cache(maxsize=2)
def _press(data: bytes) -> _Press:
    """The transforms there and back; building them takes 30 to 130 ms, so they are kept."""
    if int.from_bytes(data[:4], "big") > len(data) >= SIGNATURE.stop and data[SIGNATURE] == b"acsp":
        raise PressProfileError(f"it is cut short: {len(data)} of {int.from_bytes(data[:4], 'big')} bytes")
    try:
        opened = ImageCms.getOpenProfile(io.BytesIO(data))
    except (ImageCms.PyCMSError, OSError) as error:
        raise PressProfileError("it is no ICC profile") from error
    kind, space = opened.profile.device_class.strip(), opened.profile.xcolor_space.strip()
    if kind != OUTPUT_CLASS:
        raise PressProfileError(f"it describes no printing device (its class is {kind!r}, a press has {OUTPUT_CLASS!r})")
    if space not in MODES:
        raise PressProfileError(f"its colours are {space}; CMYK, RGB and GRAY can be checked")
    screen, intent, flags = (
        ImageCms.createProfile("sRGB"),
        ImageCms.Intent.RELATIVE_COLORIMETRIC,
        ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )
    try:
        there = ImageCms.buildTransform(screen, opened, "RGB", MODES[space], intent, flags)
        back = ImageCms.buildTransform(opened, screen, MODES[space], "RGB", intent, flags)
    except ImageCms.PyCMSError as error:
        raise PressProfileError(
            "it does not say how colours are printed and read back; its tables are missing or broken"
        ) from error
    return _Press(mode=MODES[space], there=there, back=back)
