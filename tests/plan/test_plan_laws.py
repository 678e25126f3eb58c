"""Laws of placement over random art and every product."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from vectorprep.errors import ArtworkRefused
from vectorprep.geometry import Affine, Box
from vectorprep.model import Artwork, Measurement, Page, Product
from vectorprep.plan import PlaceOptions, place
from vectorprep.plan.area import ink_room, print_area
from vectorprep.profiles import load_products

FOLDER = Path(__file__).parents[2] / "profiles"
PRODUCTS = load_products({path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.toml")})

lengths = st.floats(0.5, 2000.0, allow_nan=False)
places = st.floats(-500.0, 500.0, allow_nan=False)
boxes = st.builds(lambda x, y, w, h: Box(x, y, x + w, y + h), places, places, lengths, lengths)
products = st.sampled_from(sorted(PRODUCTS)).map(PRODUCTS.__getitem__)
sizes = st.sampled_from(["", "S", "M", "2XL", "YL"])
single = products.filter(lambda product: product.placement.horizontal != "grid")


def measured(box: Box) -> Measurement:
    """A measurement of ink in a box."""
    page = Page(width_px=400.0, height_px=400.0, uu_to_px=Affine())
    artwork = Artwork(name="art", slug="art", path="art.svg", sha256="", markup=b"", page=page)
    return Measurement(
        artwork=artwork, page_mm=(100.0, 100.0), ink_box_mm=box, any_ink_box_mm=box, ink_edges_mm=box, tolerance_mm=0.02
    )


@given(boxes, products, sizes, st.sampled_from([0.0, 0.5, 0.7]), st.sampled_from(["full", "trimmed"]))
@settings(max_examples=300, deadline=None)
def test_ink_is_inside_the_product_and_never_stretched(box: Box, product: Product, size: str, keyline: float, canvas: str) -> None:
    """True edges lie inside the pixel box, that in the canvas, to a pixel in the record's box; one scale for both axes."""
    options = PlaceOptions(garment_size=size, keyline_mm=keyline, canvas=canvas)  # type: ignore[arg-type]
    try:
        placement = place(measured(box), product, options=options)
    except ArtworkRefused as error:  # a needle between keylines on a sheet of copies has no width left
        if error.code != "too-small" or max(box.width / box.height, box.height / box.width) < 100:
            raise
        return
    room = print_area(product) if product.placement.horizontal == "grid" else ink_room(product)
    per_mm = product.resolution_ppi / 25.4
    for one in placement.placed:
        x0, y0, x1, y1 = one.ink_box_px
        edges = box.scaled(one.px_per_mm).shifted(*one.offset_px)
        assert 0 <= x0 < x1 <= placement.canvas_px[0]
        assert 0 <= y0 < y1 <= placement.canvas_px[1]
        assert edges.x0 >= x0 - 1e-6
        assert edges.x1 <= x1 + 1e-6
        assert edges.y0 >= y0 - 0.5
        assert edges.y1 <= y1 + 0.5
        if canvas == "full":
            assert x0 >= float(room.x0) * per_mm + keyline * per_mm - 1
            assert y1 <= float(room.y1) * per_mm - keyline * per_mm + 1


@given(boxes, single)
@settings(max_examples=200, deadline=None)
def test_ink_is_centred_on_the_canvas(box: Box, product: Product) -> None:
    """Left and right of the ink are equally wide, to one pixel, on every product with a centred rule."""
    placement = place(measured(box), product)
    x0, _y0, x1, _y1 = placement.placed[0].ink_box_px
    assert 0 <= placement.canvas_px[0] - x1 - x0 <= 1


@given(boxes, single, st.floats(0.01, 100.0))
@settings(max_examples=200, deadline=None)
def test_the_size_of_the_drawing_does_not_matter(box: Box, product: Product, factor: float) -> None:
    """A drawing and its enlargement land on the same pixels, to one pixel of rounding."""
    first = place(measured(box), product).placed[0].ink_box_px
    second = place(measured(box.scaled(factor)), product).placed[0].ink_box_px
    assert all(abs(a - b) <= 1 for a, b in zip(first, second, strict=True))


@given(boxes, single)
@settings(max_examples=200, deadline=None)
def test_one_side_is_bound_exactly(box: Box, product: Product) -> None:
    """The ink is as wide as wanted or as tall as the box bears: nothing smaller is made."""
    placement = place(measured(box), product)
    x0, y0, x1, y1 = placement.placed[0].ink_box_px
    room, per_mm = ink_room(product), product.resolution_ppi / 25.4
    ideal = dict(product.ideal_width_mm_by_garment_size).get(placement.garment_size or "any", float(room.width))
    wanted = min(ideal * (0.9 if 0.8 <= round(box.width / box.height, 2) <= 1.2 else 1.0), float(room.width))
    is_wide = abs(x1 - x0 - wanted * per_mm) <= 0.5 + 1e-6
    is_tall = abs(y1 - y0 - float(room.height) * per_mm) <= 0.5 + 1e-6
    assert is_wide or is_tall


@given(boxes, products)
@settings(max_examples=100, deadline=None)
def test_placing_twice_gives_the_same(box: Box, product: Product) -> None:
    """Placement is a function of its arguments."""
    assert place(measured(box), product) == place(measured(box), product)


@given(boxes, st.sampled_from(["poster-iso-a3", "poster-2x3-24x36in"]))
@settings(max_examples=100, deadline=None)
def test_cover_leaves_nothing_bare(box: Box, key: str) -> None:
    """The true edges of covering ink lie outside the canvas on all sides."""
    placement = place(measured(box), PRODUCTS[key], options=PlaceOptions(fit="cover"))
    (one,) = placement.placed
    edges = box.scaled(one.px_per_mm).shifted(*one.offset_px)
    width, height = placement.canvas_px
    assert max(edges.x0, edges.y0, width - edges.x1, height - edges.y1) < 0
