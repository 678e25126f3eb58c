"""Embedded pictures and live text: what the reader says of them."""

from __future__ import annotations

import base64
import io

import numpy as np
import pytest
from PIL import Image, ImageCms

from vectorprep.fonts import FontIndex
from vectorprep.markup.tree import local_name, parse_clean
from vectorprep.model import Artwork
from vectorprep.read import read_artwork

FONTS = FontIndex(system=False)


def read(body: str, attributes: str = 'width="96" height="96" viewBox="0 0 10 10"') -> Artwork:
    """A drawing around a body, 1 in wide."""
    return read_artwork(f'<svg xmlns="http://www.w3.org/2000/svg" {attributes}>{body}</svg>'.encode(), name="x", fonts=FONTS)


def uri(image: Image.Image, form: str = "PNG", **options: object) -> str:
    """A picture as data."""
    out = io.BytesIO()
    image.save(out, form, **options)
    return "data:;base64," + base64.b64encode(out.getvalue()).decode()


def drawn(artwork: Artwork) -> Image.Image:
    """The picture as it stands in the clean markup."""
    (element,) = [element for element in parse_clean(artwork.markup).iter() if local_name(element) == "image"]
    return Image.open(io.BytesIO(base64.b64decode(element.get("href", "").split(",", 1)[1])))


def test_picture_is_measured_through_the_transform_chain() -> None:
    """A 20 x 10 px picture drawn 4 x 2 units, doubled and turned by 90 degrees, on a page of 2.54 mm a unit."""
    picture = uri(Image.new("RGB", (20, 10), "#123456"))
    artwork = read(f'<g transform="translate(9 0) rotate(90) scale(2)"><image id="a" width="4" height="2" href="{picture}"/></g>')
    (image,) = artwork.images
    assert (image.width_px, image.height_px, image.element) == (20, 10, "a")
    assert image.drawn_mm == pytest.approx((20.32, 10.16))
    assert image.box_mm == pytest.approx((12.7, 0, 22.86, 20.32))


def test_picture_keeps_its_aspect_in_its_frame() -> None:
    """A square picture in a frame of 4 x 2 units is drawn 2 x 2 in the middle (SVG 2, 'preserveAspectRatio')."""
    (image,) = read(f'<image width="4" height="2" href="{uri(Image.new("RGB", (5, 5)))}"/>').images
    assert image.drawn_mm == pytest.approx((5.08, 5.08))
    assert image.box_mm == pytest.approx((2.54, 0, 7.62, 5.08))


def test_picture_used_twice_is_listed_twice() -> None:
    """Each place where a picture is drawn counts, with its own size."""
    picture = uri(Image.new("RGB", (5, 5)))
    artwork = read(
        f'<defs><image id="a" width="2" height="2" href="{picture}"/></defs><use href="#a"/><use href="#a" transform="scale(3)"/>'
    )
    assert [image.drawn_mm[0] for image in artwork.images] == pytest.approx([5.08, 15.24])


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA"])
def test_picture_is_written_anew_in_eight_bits(mode: str) -> None:
    """Whatever its mode, the picture goes on as 8-bit RGB or RGBA PNG of the same colour."""
    found = drawn(read(f'<image width="9" height="9" href="{uri(Image.new("RGB", (3, 3), "#ffffff").convert(mode))}"/>'))
    assert (found.format, found.mode in {"RGB", "RGBA"}, found.convert("RGB").getpixel((1, 1))) == ("PNG", True, (255, 255, 255))


def test_sixteen_bit_grey_keeps_its_tone() -> None:
    """Half of 65,535 is half of 255 (PNG third edition, sample depth scaling)."""
    found = drawn(read(f'<image width="9" height="9" href="{uri(Image.new("I;16", (3, 3), 32768))}"/>'))
    assert found.convert("RGB").getpixel((1, 1)) == (128, 128, 128)


def swapped_profile() -> bytes:
    """An sRGB profile whose red and blue primaries have changed places: its red is sRGB's blue."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    head, rest = profile[:512], profile[512:]
    return head.replace(b"rXYZ", b"????").replace(b"bXYZ", b"rXYZ").replace(b"????", b"bXYZ") + rest


def test_colour_profile_is_honoured() -> None:
    """Full red in a profile with red and blue exchanged is blue on the print (ICC.1, matrix and curve profiles)."""
    picture = uri(Image.new("RGB", (3, 3), (255, 0, 0)), icc_profile=swapped_profile())
    artwork = read(f'<image width="9" height="9" href="{picture}"/>')
    red, green, blue = drawn(artwork).convert("RGB").tobytes()[:3]
    assert max(red, green) <= 2
    assert blue >= 253
    assert artwork.images[0].icc


def test_transparency_is_told() -> None:
    """A picture has alpha only where a pixel is not opaque."""
    opaque, clear = uri(Image.new("RGBA", (3, 3), (0, 0, 0, 255))), uri(Image.new("RGBA", (3, 3), (0, 0, 0, 9)))
    assert [read(f'<image width="9" height="9" href="{one}"/>').images[0].has_alpha for one in (opaque, clear)] == [False, True]


def test_generic_family_is_a_bundled_face_everywhere() -> None:
    """A generic family is written as one named face with a note, and its file is listed."""
    artwork = read('<text font-family="sans-serif" font-size="2">Hi</text>')
    (run,) = artwork.text
    assert (run.resolved, run.missing) == ("Fredoka One", "")
    assert run.size_mm == pytest.approx(5.08)
    assert b"font-family=\"'Fredoka One'\"" in artwork.markup
    assert [finding.check for finding in artwork.findings] == ["font-resolved"]
    assert [path.endswith("FredokaOne-Regular.ttf") for path in artwork.font_files] == [True]


def test_missing_family_is_an_error_that_names_text_family_and_remedy() -> None:
    """Text in a font that is not to be had is an error; the stand-in is named."""
    artwork = read('<text font-family="No Such Face">Hello</text>')
    (finding,) = artwork.findings
    assert (finding.check, finding.severity) == ("font-missing-or-substituted", "error")
    assert "'Hello'" in finding.message
    assert "No Such Face" in finding.message
    assert "--fonts" in finding.fix
    assert artwork.text[0].resolved == ""


def test_missing_glyph_is_an_error_that_names_the_character() -> None:
    """A character without a glyph in the named font is an error."""
    artwork = read('<text font-family="Caladea">A\u4e2d</text>')
    (finding,) = artwork.findings
    assert finding.severity == "error"
    assert "U+4E2D" in finding.message
    assert artwork.text[0].missing == "\u4e2d"


def test_family_list_takes_the_first_that_is_there() -> None:
    """A list is walked in order and the face drawn is named."""
    artwork = read("<text style=\"font:italic bold 3px 'No Such Face', Caladea\">Hi</text>")
    assert artwork.text[0].resolved == "Caladea"
    assert b'font-style="italic" font-weight="700"' in artwork.markup
    assert [finding.severity for finding in artwork.findings] == ["note"]


def test_letters_are_changed_in_case_before_the_glyphs_are_checked() -> None:
    """`text-transform` is carried out, since renderers pass it over (CSS Text 3)."""
    assert b">HI THERE<" in read('<text font-family="Caladea" style="text-transform:uppercase">hi there</text>').markup


def test_marks_that_turn_direction_are_named() -> None:
    """An override mark in text is a warning that gives its number (Unicode Standard Annex 9)."""
    findings = read('<text font-family="Caladea">a\u202eb</text>').findings
    assert [("U+202E" in finding.message, finding.severity) for finding in findings] == [(True, "warning")]


def test_costly_features_are_told() -> None:
    """Filters, blend modes and lengths in percent are known of a drawing."""
    artwork = read('<filter id="f"><feOffset/></filter><g filter="url(#f)" style="mix-blend-mode:multiply"><rect width="5%"/></g>')
    assert (artwork.has_filters, artwork.has_blending, artwork.has_percentages) == (True, True, True)
    plain = read("<rect/>")
    assert (plain.has_filters, plain.has_blending, plain.has_percentages) == (False, False, False)


def test_a_photograph_longer_than_ten_megabytes_of_text_is_read() -> None:
    """Noise hardly packs: 1,900 x 1,900 px of three bytes are 10.8 MB, 14.4 MB as text, within the 20 MB of a file."""
    noise = np.random.default_rng(1).integers(0, 256, (1900, 1900, 3), np.uint8)
    data = uri(Image.fromarray(noise), compress_level=1)
    assert len(data) > 14_000_000
    artwork = read(f'<image width="10" height="10" href="{data}"/>')
    assert [(picture.width_px, picture.height_px) for picture in artwork.images] == [(1900, 1900)]
