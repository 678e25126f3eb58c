"""One drawing read: bytes in, `Artwork` out.

Comes in: the bytes of a file, its name, the seller's options, the font index.
Goes out: an `Artwork` with new, clean markup and findings about everything that could not be honoured, or `ArtworkRefused`.
Never done here: opening a file, drawing, measuring ink.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import Literal

from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import FontIndex, load_index
from vectorprep.geometry import Affine
from vectorprep.markup.paint import normalise_colours
from vectorprep.markup.safe import Source, open_source
from vectorprep.markup.tree import Element, local_name, serialise
from vectorprep.model import Artwork, EmbeddedImage, Page, TextRun
from vectorprep.read import survey
from vectorprep.read.clean import Cleaner, title_of
from vectorprep.read.costs import check_costs
from vectorprep.read.filter_functions import settle_filter_functions
from vectorprep.read.filters import settle_filters
from vectorprep.read.generator import generator_of
from vectorprep.read.links import MAX_NESTING, Nested, settle_links
from vectorprep.read.notebook import Notebook
from vectorprep.read.page import note_old_units, page_of
from vectorprep.read.pictures import Picture, svg_uri
from vectorprep.read.references import resolve_references
from vectorprep.read.styles import Styles
from vectorprep.read.text import TextReport, settle_text
from vectorprep.read.unsupported import settle_unsupported

_MM_PER_PX = 25.4 / 96


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadOptions:
    """What the seller's settings say of reading.

    `background="drop"` takes a plain rectangle behind everything away; `page="recover"` lets ink beyond the page be drawn;
    `units_per_inch` is what one inch of plain numbers holds (None = 96, CSS).
    """

    background: Literal["keep", "drop"] = "keep"
    page: Literal["clip", "recover"] = "clip"
    units_per_inch: float | None = None


def read_artwork(
    data: bytes,
    *,
    name: str,
    path: str = "",
    slug: str = "",
    options: ReadOptions = ReadOptions(),
    fonts: FontIndex | None = None,
) -> Artwork:
    """The drawing in `data`, made safe, with findings about all that is not as the seller would expect.

    Raises:
        ArtworkRefused: not SVG, broken, beyond a limit, or linked to something outside; `code` says which.
    """
    book = Notebook(name=name)
    index = fonts if fonts is not None else load_index()
    try:
        artwork, _ = _read(data, options, index, book, depth=0)
    except RecursionError as error:
        raise ArtworkRefused(
            "brackets, rules or references in the drawing nest deeper than can be followed",
            fix="export the drawing again as plain SVG",
            code="nesting-too-deep",
        ) from error
    return replace(
        artwork, name=name, slug=slug or name, path=path, sha256=hashlib.sha256(data).hexdigest(), findings=book.findings()
    )


def _read(data: bytes, options: ReadOptions, index: FontIndex, book: Notebook, *, depth: int) -> tuple[Artwork, int]:
    """The artwork without its names, and how many elements are drawn for it."""
    source = open_source(data)
    for slug, words in source.notes:
        book.add(slug, "warning" if slug == "stylesheet-link-dropped" else "note", words)
    root = _cleaned(source, book)
    pictures = settle_links(root, lambda inner: _nested(inner, index, book, depth=depth + 1), book)
    drawn = resolve_references(root, book, {element: one.drawn for element, one in pictures.items() if isinstance(one, Nested)})
    stated = (root.get("width", ""), root.get("height", ""))
    generator = generator_of(source.root, source.generator)
    page = page_of(root, generator=generator, units_per_inch=options.units_per_inch, book=book)
    if depth == 0:
        note_old_units(page, stated, book)
    check_costs(root, page)
    settle_filter_functions(root, page)
    settle_filters(root, page, book)
    settle_unsupported(root, page, book)
    text = settle_text(root, index, book)
    for issue in normalise_colours(root):
        if issue.slug in {"colour-invalid", "colour-not-exact"} and issue.feature not in {"filter", "photo", "jpeg", "nested-svg"}:
            book.count(issue.slug, "note", issue.message, issue.element)
    plate = _settle_plate(root, page, options, book)
    _settle_page_edge(root, options)
    artwork = Artwork(
        name="",
        slug="",
        path="",
        sha256="",
        markup=serialise(root),
        page=page,
        has_filters=survey.has_filters(root),
        has_percentages=survey.has_percentages(root),
        has_blending=survey.has_blending(root),
        images=_images(root, page, pictures),
        text=_runs(root, page, text),
        title=title_of(source.root),
        plate=plate,
        font_files=tuple(dict.fromkeys(text.files)),
    )
    return artwork, drawn


def _cleaned(source: Source, book: Notebook) -> Element:
    styles = Styles(source.root, book, has_variables=source.has_variables)
    return Cleaner(styles, book).root(source.root)


def _nested(data: bytes, index: FontIndex, book: Notebook, *, depth: int) -> Nested:
    if depth > MAX_NESTING:
        raise ArtworkRefused(
            f"drawings are embedded in drawings more than {MAX_NESTING} deep",
            fix="embed the inner drawing as shapes",
            code="picture-nested-too-deep",
        )
    try:
        artwork, drawn = _read(data, ReadOptions(), index, book, depth=depth)
    except ArtworkRefused as error:
        raise ArtworkRefused(f"an embedded drawing cannot be used: {error.message}", fix=error.fix, code=error.code) from error
    return Nested(uri=svg_uri(artwork.markup), drawn=drawn)


def _settle_plate(root: Element, page: Page, options: ReadOptions, book: Notebook) -> str:
    """Colour of the plain rectangle behind everything, empty where there is none; taken out where the settings say so."""
    found = survey.find_plate(root, page)
    if found is None:
        return ""
    element, colour = found
    if options.background == "drop":
        parent = element.getparent()
        if parent is not None:
            parent.remove(element)
        book.add(
            "page-rectangle-behind-art", "note", f"the plain {colour} rectangle behind the drawing is taken out", measured=colour
        )
    return colour


def _settle_page_edge(root: Element, options: ReadOptions) -> None:
    if options.page == "recover":
        root.set("overflow", "visible")
    elif "overflow" in root.attrib:
        del root.attrib["overflow"]


def _images(root: Element, page: Page, pictures: dict[Element, Picture | Nested]) -> tuple[EmbeddedImage, ...]:
    if not pictures:
        return ()
    found = []
    for element, here in survey.places(root, page):
        picture = pictures.get(element)
        if isinstance(picture, Picture) and local_name(element) == "image":
            found.append(_image(element, here, picture))
    return tuple(found)


def _image(element: Element, here: Affine, picture: Picture) -> EmbeddedImage:
    edges, box = survey.image_frame(element, here, (picture.width_px, picture.height_px))
    return EmbeddedImage(
        element=element.get("id") or "image",
        width_px=picture.width_px,
        height_px=picture.height_px,
        drawn_mm=(edges[0] * _MM_PER_PX, edges[1] * _MM_PER_PX),
        box_mm=box.scaled(_MM_PER_PX).corners,
        mode=picture.mode,
        has_alpha=picture.has_alpha,
        icc=picture.icc,
    )


def _runs(root: Element, page: Page, text: TextReport) -> tuple[TextRun, ...]:
    """The runs with their sizes on the page; a text drawn several times counts with its first size."""
    if not text.runs:
        return ()
    scales: dict[Element, float] = {}
    for element, here in survey.places(root, page):
        scales.setdefault(element, survey.scale_of(here))
    return tuple(replace(run, size_mm=run.size_mm * scales.get(element, 1.0) * _MM_PER_PX) for element, run in text.runs)
