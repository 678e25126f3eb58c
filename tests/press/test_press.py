"""Inks on a press: round trips through a real CMYK profile, against another program and published figures.

The profile is "Chemical proof" (Graeme Gill, public domain), which libvips carries as `cmyk`.
"""

from __future__ import annotations

import struct
import warnings

import numpy as np
import pytest
from PIL import ImageCms

from vectorprep.colour import delta_e_2000, hex_from_rgb, rgb_from_hex
from vectorprep.press import PressProfile, PressProfileError, check_press_profile, printed_inks

pyvips = pytest.importorskip("pyvips")
with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    colour = pytest.importorskip("colour")

PURE = ("#ff0000", "#00ff00", "#0000ff", "#00ffff", "#ff00ff", "#ffff00", "#ff6600", "#000000", "#ffffff")


@pytest.fixture(scope="module")
def cmyk() -> bytes:
    """The bytes of the profile."""
    return bytes(pyvips.Operation.call("profile_load", "cmyk"))


@pytest.fixture(scope="module")
def profile(cmyk: bytes) -> PressProfile:
    """The press under test."""
    return PressProfile(name="proof.icc", data=cmyk)


def _by_libvips(inks: tuple[str, ...]) -> tuple[list[str], list[float]]:
    """What inks print as, and their total ink, as libvips has it: relative colorimetric, black point compensation both ways."""
    row = np.array([[rgb_from_hex(ink) for ink in inks]], np.uint8)
    image = pyvips.Image.new_from_memory(row.tobytes(), len(inks), 1, 3, "uchar").copy(interpretation="srgb")
    how = {"intent": "relative", "black_point_compensation": True}
    device = image.icc_transform("cmyk", input_profile="srgb", **how)
    shown = device.icc_transform("srgb", input_profile="cmyk", embedded=False, **how)
    prints = np.ndarray(buffer=shown.write_to_memory(), dtype=np.uint8, shape=(len(inks), shown.bands))
    codes = np.ndarray(buffer=device.write_to_memory(), dtype=np.uint8, shape=(len(inks), device.bands))
    return [hex_from_rgb(*pixel[:3]) for pixel in prints.tolist()], (codes.sum(axis=1) / 2.55).tolist()


def test_prints_and_total_ink_are_those_of_another_program(profile: PressProfile) -> None:
    """Colours come out within one level of libvips's, total ink within 1 %, over pure and 200 seeded inks."""
    seeded = np.random.default_rng(5).integers(0, 256, (200, 3)).tolist()
    inks = (*PURE, *dict.fromkeys(hex_from_rgb(*pixel) for pixel in seeded))
    prints, totals = _by_libvips(inks)
    for one, shown, total in zip(printed_inks(inks, profile), prints, totals, strict=True):
        assert np.abs(np.subtract(rgb_from_hex(one.prints_as), rgb_from_hex(shown))).max() <= 1
        assert one.total_ink_percent == pytest.approx(total, abs=1.0)


def test_distances_are_those_of_a_reference_library(profile: PressProfile) -> None:
    """CIEDE2000 between ink and print is colour-science's, within what its rounded matrices differ by."""
    for one in printed_inks(PURE, profile):
        white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
        labs = [colour.XYZ_to_Lab(colour.sRGB_to_XYZ(np.array(rgb_from_hex(ink)) / 255), white) for ink in (one.ink, one.prints_as)]
        assert one.delta_e == pytest.approx(float(colour.delta_E(*labs, method="CIE 2000")), abs=0.03)


def test_the_nearest_colour_prints_as_it_is_and_is_no_farther_than_the_print(profile: PressProfile) -> None:
    """What is named as printable differs from the ink no more than the plain print does, and hardly changes on the press."""
    for one in printed_inks(PURE, profile):
        assert delta_e_2000(one.ink, one.nearest) <= one.delta_e + 0.05
        (again,) = printed_inks((one.nearest,), profile)
        assert again.delta_e < 5.0


def test_black_and_white_are_in_reach(profile: PressProfile) -> None:
    """With black point compensation both ways black is no false alarm."""
    assert all(one.delta_e < 2.0 for one in printed_inks(("#000000", "#ffffff", "#1a1a1a"), profile))


def test_grey_profiles_have_no_total_ink() -> None:
    """Only CMYK says how much ink lies on the sheet; no ink at all gives no answer."""
    assert printed_inks((), PressProfile(name="none", data=b"")) == ()


def _screen() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("text", "no ICC profile"),
        ("empty", "no ICC profile"),
        ("cut", "cut short"),
        ("screen", "no printing device"),
        ("broken", "tables are missing or broken"),
        ("lab", "its colours are Lab"),
    ],
)
def test_what_is_no_profile_of_a_press_is_refused_with_the_reason(cmyk: bytes, kind: str, words: str) -> None:
    """Text, nothing, half a file, a screen's profile, one without tables and one in Lab each get words of their own."""
    headless = bytearray(cmyk[:3000])
    headless[:4] = struct.pack(">I", len(headless))
    in_lab = bytearray(cmyk)
    in_lab[16:20] = b"Lab "
    data = {
        "text": b"not a profile" * 20,
        "empty": b"",
        "cut": cmyk[: len(cmyk) // 2],
        "screen": _screen(),
        "broken": bytes(headless),
        "lab": bytes(in_lab),
    }[kind]
    with pytest.raises(PressProfileError, match=words):
        check_press_profile(data)
