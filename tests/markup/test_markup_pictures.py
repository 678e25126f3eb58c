"""Pictures inside a drawing: flat ones follow the inks, photographs and JPEG data stay and are named."""

from __future__ import annotations

import base64
import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from vectorprep.markup.issues import PaintIssue
from vectorprep.markup.paint import normalise_colours, rewrite_colours
from vectorprep.markup.safe import parse_untrusted
from vectorprep.markup.tree import Element, href_of

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">'
FLAT = np.zeros((6, 8, 4), dtype=np.uint8)
FLAT[:, :4] = (255, 0, 0, 255)
FLAT[:, 4:6] = (0, 128, 0, 100)
FLAT[:, 6:] = (9, 9, 9, 0)


def data_uri(pixels: NDArray[np.uint8], kind: str = "PNG", head: str = "data:image/png;base64,") -> str:
    """A picture as a data address."""
    out = io.BytesIO()
    mode = "RGB" if kind == "JPEG" else "RGBA"
    Image.fromarray(pixels).convert(mode).save(out, format=kind, **({"lossless": True, "exact": True} if kind == "WEBP" else {}))
    return head + base64.b64encode(out.getvalue()).decode()


def turned(ink: str) -> str:
    """(r, g, b) to (b, r, g)."""
    return "#" + ink[5:7] + ink[1:3] + ink[3:5]


def rewritten(body: str) -> tuple[Element, list[PaintIssue]]:
    """A drawing with its channels turned, and the report."""
    root = parse_untrusted(f"{HEAD}{body}</svg>".encode())
    return root, rewrite_colours(root, turned)


def pixels_of(element: Element) -> NDArray[np.uint8]:
    """The pixels an image element holds."""
    return np.asarray(Image.open(io.BytesIO(base64.b64decode(href_of(element).partition(",")[2]))).convert("RGBA"))


@pytest.mark.parametrize("attribute", ["href", "xlink:href"])
@pytest.mark.parametrize("head", ["data:image/png;base64,", "data:;base64,", "data:image/jpg;base64,  "])
def test_flat_pictures_follow_the_inks(attribute: str, head: str) -> None:
    """Every visible pixel goes through the mapping, alpha and clear pixels stay; a wrong or missing media type is no obstacle."""
    root, issues = rewritten(f'<image {attribute}="{data_uri(FLAT, head=head)}"/>')
    expected = FLAT.copy()
    expected[:, :4] = (0, 255, 0, 255)
    expected[:, 4:6] = (0, 0, 128, 100)
    assert issues == []
    assert np.array_equal(pixels_of(root[0]), expected)


@pytest.mark.parametrize("kind", ["GIF", "WEBP"])
def test_other_lossless_formats_become_png(kind: str) -> None:
    """GIF and WebP pictures follow too and are written as PNG."""
    opaque = FLAT.copy()
    opaque[..., 3] = 255
    root, issues = rewritten(f'<image href="{data_uri(opaque, kind)}"/>')
    assert issues == []
    assert href_of(root[0]).startswith("data:image/png;base64,")
    assert np.array_equal(pixels_of(root[0]), opaque[..., [2, 0, 1, 3]])


def test_photographs_stay_and_are_named() -> None:
    """A picture of many colours keeps its bytes."""
    noise = np.random.default_rng(5).integers(0, 256, (40, 40, 4), dtype=np.uint8)
    noise[..., 3] = 255
    uri = data_uri(noise)
    root, issues = rewritten(f'<image id="p" href="{uri}"/>')
    assert href_of(root[0]) == uri
    assert [(issue.slug, issue.feature, issue.element) for issue in issues] == [("picture-kept", "photo", "image#p")]


@pytest.mark.parametrize(
    ("href", "feature"),
    [
        (data_uri(FLAT, "JPEG"), "jpeg"),
        ("leaf.png", "linked-picture"),
        ("https://example.org/leaf.png", "linked-picture"),
        ("data:image/png;base64,AAAA", "broken-picture"),
        ("data:image/svg+xml;base64,AAAA", "nested-svg"),
    ],
)
def test_pictures_that_cannot_follow_are_named(href: str, feature: str) -> None:
    """JPEG data, links and broken data stay as they are, each with its reason."""
    root, issues = rewritten(f'<image href="{href}"/>')
    assert href_of(root[0]) == href
    assert [(issue.slug, issue.feature) for issue in issues] == [("picture-kept", feature)]


def test_drawings_inside_the_drawing_follow() -> None:
    """A nested SVG goes through the same rewriting, its initial black included."""
    inner = "%3Csvg xmlns='http://www.w3.org/2000/svg'%3E%3Cpath fill='red'/%3E%3C/svg%3E"
    root, issues = rewritten(f'<image href="data:image/svg+xml;utf8,{inner}"/>')
    nested = base64.b64decode(href_of(root[0]).partition(",")[2]).decode()
    assert issues == []
    assert nested == '<svg xmlns="http://www.w3.org/2000/svg" fill="#000000" color="#000000"><path fill="#00ff00"/></svg>'


def test_drawings_nested_too_deep_stay() -> None:
    """The fourth drawing inside one another is left alone and named."""
    markup = f"{HEAD}</svg>"
    for _ in range(4):
        uri = "data:image/svg+xml;base64," + base64.b64encode(markup.encode()).decode()
        markup = f'{HEAD}<image href="{uri}"/></svg>'
    issues = rewrite_colours(parse_untrusted(markup.encode()), turned)
    assert [issue.feature for issue in issues] == ["nested-svg"]


def test_pictures_in_luminance_masks_stay() -> None:
    """Inside a mask the colour of a picture is coverage."""
    uri = data_uri(FLAT)
    root, issues = rewritten(f'<mask id="m"><image href="{uri}"/></mask>')
    assert (href_of(root[0][0]), issues) == (uri, [])


def test_normalising_leaves_pictures_alone() -> None:
    """Normalising speaks of tokens only."""
    uri = data_uri(FLAT)
    root = parse_untrusted(f'{HEAD}<image href="{uri}"/></svg>'.encode())
    assert normalise_colours(root) == []
    assert href_of(root[0]) == uri


def _blur(colour: tuple[int, int, int]) -> NDArray[np.uint8]:
    """A soft spot: coverage falls evenly from the middle."""
    rows, columns = np.mgrid[-20:20, -20:20]
    pixels = np.zeros((40, 40, 4), np.uint8)
    pixels[..., :3] = colour
    pixels[..., 3] = np.clip(220 - 11 * np.hypot(rows, columns), 0, 255)
    return pixels


@pytest.mark.parametrize("colour", [(0, 0, 0), (90, 92, 95), (255, 255, 255)])
def test_a_soft_shadow_goes_to_the_tones_where_they_are_given(colour: tuple[int, int, int]) -> None:
    """A grey blur is drawn by the tones and not by the mapping, which would make a glow of it."""
    root = parse_untrusted(f'{HEAD}<image href="{data_uri(_blur(colour))}"/></svg>'.encode())
    assert rewrite_colours(root, lambda _: "#ff0000", tones=lambda pixels: pixels) == []
    assert np.array_equal(pixels_of(root[0]), _blur(colour))


@pytest.mark.parametrize("pixels", [FLAT, _blur((200, 40, 40))], ids=["flat", "coloured blur"])
def test_drawn_pictures_follow_the_inks_beside_tones_too(pixels: NDArray[np.uint8]) -> None:
    """What is drawn in few colours, a blur of a colour included, still goes through the mapping."""
    root = parse_untrusted(f'{HEAD}<image href="{data_uri(pixels)}"/></svg>'.encode())
    rewrite_colours(root, lambda _: "#0000ff", tones=lambda pixels: pixels)
    seen = pixels_of(root[0])
    assert (seen[seen[..., 3] > 0][:, :3] == (0, 0, 255)).all()


def test_photographs_and_jpeg_data_are_drawn_by_the_tones() -> None:
    """Both kinds become what the tones make of them."""
    noise = np.random.default_rng(1).integers(0, 256, (40, 40, 4), np.uint8)
    noise[..., 3] = 255
    for kind in ("PNG", "JPEG"):
        root = parse_untrusted(f'{HEAD}<image href="{data_uri(noise, kind)}"/></svg>'.encode())
        assert rewrite_colours(root, turned, tones=np.zeros_like) == []
        assert not pixels_of(root[0]).any()
