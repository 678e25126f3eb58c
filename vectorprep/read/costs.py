"""What a drawing would cost to draw, bounded by counting: text, stops of gradients, dashes, tiles of patterns.

Comes in: the clean tree and the page. Goes out: nothing, or a refusal that names the cost.
Never done here: drawing, timing.
"""

from __future__ import annotations

from vectorprep.errors import ArtworkRefused
from vectorprep.markup.tree import Element, local_name, svg_elements
from vectorprep.model import Page
from vectorprep.read.boxes import outline_length
from vectorprep.read.numbers import number_or, numbers_in
from vectorprep.read.survey import inherited

MAX_TEXT_CHARS = 50_000  # house value: some thirty pages of a book
MAX_STOPS = 2_000  # of one gradient, house value
MAX_ALL_STOPS = 50_000  # of a drawing, house value
MAX_DASHES = 300_000  # drawn in a whole drawing, house value; a million hang a renderer or are left out by it
MAX_TILES = 4_000_000  # of one pattern over the page, house value: tiles of two pixels of a print
MAX_TILE_PAGES = 6.0  # a tile's area over the page's, house value: it is drawn whole, in 0.5 GB at the size of a print
MAX_TILE_SHARE = 20.0  # a tile's side over the page's longer one, house value; a tile is a picture in memory


def check_costs(root: Element, page: Page) -> None:
    """Passes a drawing that can be drawn in the time that drawings take.

    Raises:
        ArtworkRefused: what is too much, its figure and the limit.
    """
    stops = chars = 0
    dashes = 0.0
    side_uu = max(page.width_px, page.height_px) / max(abs(page.uu_to_px.a), abs(page.uu_to_px.d), 1e-9)
    for element in svg_elements(root):
        name = local_name(element)
        if name in {"linearGradient", "radialGradient"}:
            own = sum(1 for child in element if local_name(child) == "stop")
            stops += own
            _require(own, MAX_STOPS, "stops in one gradient", "gradient-too-fine", "use fewer stops")
            _require(stops, MAX_ALL_STOPS, "stops of gradients", "gradient-too-fine", "use fewer gradients, or fewer stops in each")
        elif name == "text":
            chars += sum(len(words) for words in element.itertext())
            _require(
                chars, MAX_TEXT_CHARS, "characters of live text", "text-too-long", "convert the text to outlines, or shorten it"
            )
        elif name == "pattern":
            _check_tiles(element, side_uu)
        else:
            dashes += _dashes(element, name)
            _require(dashes, MAX_DASHES, "dashes", "too-many-dashes", "use longer dashes, or draw the line as one shape")


def _check_tiles(element: Element, side_uu: float) -> None:
    width, height = (number_or(element.get(key), 0.0) for key in ("width", "height"))
    if width <= 0 or height <= 0:
        return
    by_box = element.get("patternUnits", "objectBoundingBox") == "objectBoundingBox"
    reach = 1.0 if by_box and "%" not in element.get("width", "") else side_uu
    if "%" in element.get("width", "") + element.get("height", ""):
        width, height, reach = width / 100, height / 100, 1.0
    _require(reach / width * (reach / height), MAX_TILES, "tiles of a pattern", "pattern-too-fine", "use larger tiles")
    if reach == side_uu and width * height > MAX_TILE_PAGES * side_uu**2:
        raise ArtworkRefused(
            f"a pattern's tile is {width * height / side_uu**2:.0f} times as large as the page,"
            f" more than the limit of {MAX_TILE_PAGES:.0f}",
            fix="make the tile as large as what it fills",
            code="pattern-too-large",
        )
    if max(width, height) / reach > MAX_TILE_SHARE:
        raise ArtworkRefused(
            f"a pattern's tile is {max(width, height) / reach:.0f} times as long as the page,"
            f" more than the limit of {MAX_TILE_SHARE:.0f}",
            fix="make the tile as large as what it fills",
            code="pattern-too-large",
        )


def _dashes(element: Element, name: str) -> float:
    """How many dashes a shape's stroke is cut into."""
    pattern = inherited(element, "stroke-dasharray", "none")
    if pattern in {"none", ""} or inherited(element, "stroke", "none") == "none":
        return 0.0
    lengths = numbers_in(pattern)
    total = sum(lengths) * (1 + len(lengths) % 2)
    if total <= 0:
        return 0.0
    return (
        (outline_length(name, {str(key): str(value) for key, value in element.attrib.items()}) or 0.0)
        / total
        * max(1.0, len(lengths) / 2)
    )


def _require(figure: float, limit: float, what: str, code: str, fix: str) -> None:
    if figure > limit:
        raise ArtworkRefused(f"the drawing has {figure:.0f} {what}, more than the limit of {limit:.0f}", fix=fix, code=code)
