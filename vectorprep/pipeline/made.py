"""One artwork on one product: settle each blank, place once, draw each distinct picture once, make its files, check it.

Comes in: the artwork's bench, a product with its blanks, the run's common part and the effective settings.
Goes out: encoded outputs, records of the pairs, findings. Never done here: the rules of any room.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from vectorprep import __version__
from vectorprep.checks import Evidence, OnBlank, run_checks
from vectorprep.engine import draw_window
from vectorprep.engine.packed import Cover, cover_of
from vectorprep.model import Artwork, Blank, Encoded, Finding, Pair, Placement, Product, Raster
from vectorprep.outputs import Picture, inside, kinds, make
from vectorprep.outputs.thumbnail import thumbnail_of
from vectorprep.pipeline.bracket import AS_DRAWN, Bench, Question, Settled, swapped_inks
from vectorprep.pipeline.choices import accepted, ground_of, on_ground, place_options, recolour_policy, variant_for
from vectorprep.pipeline.plates import is_scalable
from vectorprep.pipeline.remedies import (
    KNOCKED_OUT,
    Remedies,
    bend_of,
    by_art,
    cleared_share,
    has_base_screen,
    measured_again,
    needs_base,
    on_the_way,
    remedies_for,
    told,
    with_black_out,
)
from vectorprep.pipeline.room import make_room
from vectorprep.pipeline.sizes import size_record
from vectorprep.pipeline.spread import spread
from vectorprep.pipeline.workshop import Job, Workshop
from vectorprep.plan import output_name, place
from vectorprep.profiles import limits_for, policy_for
from vectorprep.recolour import keyline_raster, outlined
from vectorprep.report.records import pair_record
from vectorprep.settings import ArtworkSettings

if TYPE_CHECKING:
    from vectorprep.pipeline.pictures import Studio

OUTLINE_PX = 1500  # an outline traced at this size is even to a hundredth
AS_DRAWN_KINDS = ("as-drawn", "ask")
VECTOR_KINDS = frozenset({"pdf", "paths-svg", "plate-png", "separation-png"})
"""Kinds of output that hold shapes, not pixels."""
DRAWING_VERBS = ("convert", "audit")
"""Verbs that look at the picture at print size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What came of one artwork on one product."""

    encoded: tuple[Encoded, ...] = ()
    pairs: tuple[dict[str, Any], ...] = ()
    findings: tuple[Finding, ...] = ()
    sizes: tuple[dict[str, Any], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One artwork on one product, with everything its steps need."""

    bench: Bench
    product: Product
    blanks: tuple[Blank, ...]
    workshop: Workshop
    settings: ArtworkSettings
    job: Job
    tell: Callable[[str], None]  # takes what is being done, in words
    studio: Studio | None = None
    seen: dict[str, object] = field(default_factory=dict)
    """What checks found in one picture of the artwork, of use for the next one."""

    @property
    def as_drawn(self) -> bool:
        """Whether the pictures looked at are those of the drawing itself, as in an audit."""
        return self.workshop.verb == "audit"

    @property
    def wants_thumbnails(self) -> bool:
        """Whether small pictures are made beside the rest, for a page that shows the run."""
        return self.workshop.has_thumbnails and not self.workshop.dry_run


def make_product(order: Order) -> Made:
    """Everything of one artwork on one product.

    Raises:
        ArtworkRefused: the plan has no place for it.
        ArtworkFailed: an engine or a limit stops it.
    """
    measured = order.bench.measured
    if order.workshop.verb == "measure":
        placement = place(measured, order.product, options=place_options(order.settings, measured))
        return Made(sizes=(size_record(order.job.name, order.product.key, order.bench.measured, placement),))
    first = place(measured, order.product, options=place_options(order.settings, measured))
    order.tell("choosing its colours")
    settled = {blank.key: _remedied(order, blank, _settle(order, blank, first)) for blank in order.blanks}
    keyline_mm = max(found.treatment.keyline_mm for found in settled.values())
    pictures = _pictures(order, settled, keyline_mm)
    encoded: list[Encoded] = []
    told_of: list[tuple[tuple[str, ...], list[Finding]]] = []
    for number, picture in enumerate(pictures):
        again = any(_begins_alike(picture, later) for later in pictures[number + 1 :])
        if number and picture.settled.treatment.keyline_mm != pictures[number - 1].settled.treatment.keyline_mm:
            order.seen.clear()  # of another outline; what was found there only takes up memory
        made, found = _finish(order, picture, settled, keep=again)
        encoded += made
        told_of.append((tuple(blank.key for blank in picture.blanks), found))
    encoded += _before(order, pictures)
    findings = [
        accepted(replace(finding, artwork=order.job.name, product=order.product.key), order.settings) for finding in spread(told_of)
    ]
    pairs = tuple(_pair(order, blank, settled[blank.key], findings) for blank in order.blanks)
    return Made(encoded=tuple(encoded), pairs=pairs, findings=tuple(findings))


def _settle(order: Order, blank: Blank, placement: Placement) -> Settled:
    ink_policy, ground = policy_for(order.product, blank), ground_of(blank, placement)
    policy = recolour_policy(order.settings, order.product, ink_policy)
    question = Question(
        colour=ground.colour,
        texture=ground.texture,
        blank=blank.key,
        white_ink=ink_policy.has_white_ink or ground is not blank,  # the paper's white is seen on a printed ground
        printed_mm=placement.placed[0].printed_mm,
        policy=policy if ground is blank else on_ground(policy, ground.colour),
        is_ground=ground is not blank,
        strict=order.workshop.strict,
    )
    return order.bench.settle(question, ground, variant_for(blank, order.job.variants))


def _remedied(order: Order, blank: Blank, found: Settled) -> Settled:
    """The decision with black left out, where the seller asks for that; an audit speaks of the drawing itself."""
    return found if order.as_drawn else replace(found, treatment=with_black_out(order.settings, blank, found.treatment))


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """One distinct picture: what is drawn where, for which blanks, under which name."""

    settled: Settled
    placement: Placement
    blanks: tuple[Blank, ...]
    key: str
    stem: str


def _pictures(order: Order, settled: dict[str, Settled], keyline_mm: float) -> list[Drawing]:
    groups: dict[tuple[object, ...], list[Blank]] = {}
    for blank in order.blanks:
        found = settled[blank.key]
        shown = found if not order.as_drawn else replace(found, treatment=AS_DRAWN, artwork=order.bench.measured.artwork)
        treatment = shown.treatment
        look = (shown.artwork.markup, treatment.keyline_colour, treatment.keyline_mm, treatment == KNOCKED_OUT)
        groups.setdefault(look, []).append(blank)
    drawings: list[Drawing] = []
    for blanks in groups.values():
        drawings.append(_drawing(order, settled[blanks[0].key], tuple(blanks), keyline_mm, {drawing.stem for drawing in drawings}))
    return drawings


def _drawing(order: Order, settled: Settled, blanks: tuple[Blank, ...], keyline_mm: float, taken: set[str]) -> Drawing:
    if order.as_drawn:
        settled = replace(settled, treatment=AS_DRAWN, artwork=order.bench.measured.artwork, measured=order.bench.measured)
    measured = settled.measured
    keyline_mm = 0.0 if order.as_drawn else keyline_mm
    placement = place(measured, order.product, options=place_options(order.settings, measured, keyline_mm=keyline_mm))
    treatment = settled.treatment
    material = repr((settled.artwork.markup, placement, treatment.keyline_colour, treatment.keyline_mm, order.bench.engine.version))
    key = hashlib.sha256(material.encode()).hexdigest()
    # Pictures that keep the drawing's own inks are one file whatever the reason for leaving them.
    kind = "as-drawn" if treatment.kind == "ask" else treatment.kind
    stem = output_name(order.job.slug, order.product.key, treatment=kind, picture_key=key, extension="").rstrip(".")
    while stem in taken:  # two pictures whose keys begin alike
        key = hashlib.sha256(key.encode()).hexdigest()
        stem = output_name(order.job.slug, order.product.key, treatment=kind, picture_key=key, extension="").rstrip(".")
    return Drawing(settled=settled, placement=placement, blanks=blanks, key=key, stem=stem)


def _begins_alike(one: Drawing, other: Drawing) -> bool:
    """Whether two pictures are the same but for what is done to the pixels after drawing."""
    return one.settled.artwork.markup == other.settled.artwork.markup and one.placement == other.placement


def _finish(order: Order, drawing: Drawing, settled: dict[str, Settled], *, keep: bool) -> tuple[list[Encoded], list[Finding]]:
    """The files of one picture and what the checks say of it; `keep` holds on to the ink as drawn, for the next picture."""
    raster, placement = None, drawing.placement
    if order.workshop.pictures is not None and order.workshop.pictures.is_all:
        return _shop_pictures(order, drawing, None, None), []
    if order.workshop.verb in DRAWING_VERBS and not order.workshop.dry_run:
        order.tell("drawing it")
        raster, placement = _drawn(order, drawing, keep=keep)
    order.tell("making and checking its files")
    cover = _cover_of(order, raster, placement)
    picture = replace(_picture(order, drawing, raster, placement), soft=cover.soft if cover is not None else None)
    encoded = [*_encoded(order, drawing, picture), *_shop_pictures(order, drawing, raster, picture)]
    evidence = Evidence(
        artwork=drawing.settled.artwork,
        measured=drawing.settled.measured,
        product=order.product,
        placement=placement,
        on_blanks=tuple(_on_blank(order, ground_of(blank, placement), blank, settled[blank.key]) for blank in drawing.blanks),
        raster=raster,
        cover=cover,
        outputs=tuple(item.output for item in encoded if item.output.kind not in {"thumbnail", "picture"}),
        strict=order.workshop.strict,
        press=order.workshop.press,
        licences=order.settings.licences,
        shared=order.seen,
    )
    findings = list(run_checks(evidence))
    remedies = _remedies_of(order, drawing)
    if remedies.any and raster is not None:
        untouched, _ = _drawn(order, drawing, keep=keep, is_remedied=False)
        found = list(run_checks(replace(evidence, raster=untouched, cover=None, outputs=(), shared={})))
        findings = [*told(remedies, found, findings, cleared_share(untouched, raster)), *by_art(remedies, found, findings)]
    return encoded, findings


def _cover_of(order: Order, raster: Raster | None, placement: Placement) -> Cover | None:
    """The coverage of a print picture, found once for its file and its checks; that of the last one where it is the same."""
    if raster is None or len(placement.placed) > 1:  # checks look at one copy alone
        return None
    known = order.seen.get("cover")
    order.seen["cover"] = cover = cover_of(raster.pixels, known if isinstance(known, Cover) else None)
    return cover


def _drawn(order: Order, drawing: Drawing, *, keep: bool, is_remedied: bool = True) -> tuple[Raster, Placement]:
    """The print picture; the ink without its keyline is drawn once for both. Boxes are those of what is printed."""
    remedies = _remedies_of(order, drawing) if is_remedied else Remedies()
    raster, placement = order.bench.draw_placed(drawing.settled.artwork, drawing.placement, keep=keep)
    finish = _finish_of(drawing, remedies)
    if finish is not None:
        make_room()
        raster = inside(finish(raster, 1.0), placement.canvas_px)
    return raster, measured_again(raster, placement) if remedies.any else placement


def _remedies_of(order: Order, drawing: Drawing) -> Remedies:
    """What the seller asks to be done to the pixels; an audit looks at them as drawn."""
    return Remedies() if order.as_drawn else remedies_for(order.settings, order.product, drawing.settled.treatment)


def _finish_of(drawing: Drawing, remedies: Remedies) -> Callable[[Raster, float], Raster] | None:
    """What is done to the pixels after drawing, at the print's size times a scale: the keyline, then the remedies."""
    treatment, ppi = drawing.settled.treatment, drawing.placement.ppi
    if treatment.kind != "keyline":
        return (lambda raster, scale: remedies.applied(raster, ppi * scale)) if remedies.any else None

    def finish(raster: Raster, scale: float) -> Raster:
        pixels = keyline_raster(raster.pixels, treatment.keyline_mm * ppi / 25.4 * scale, treatment.keyline_colour)
        margin = (pixels.shape[0] - raster.pixels.shape[0]) // 2
        x, y = raster.origin_px
        return remedies.applied(Raster(pixels=pixels, origin_px=(x - margin, y - margin)), ppi * scale)

    return finish


def _before(order: Order, drawings: list[Drawing]) -> list[Encoded]:
    """A thumbnail of the drawing itself, where every picture of it was changed, so that what was changed can be seen."""
    if not order.wants_thumbnails or any(drawing.settled.treatment.kind in AS_DRAWN_KINDS for drawing in drawings):
        return []
    measured = order.bench.measured
    own = Settled(
        before=drawings[0].settled.before,
        after=drawings[0].settled.before,
        treatment=AS_DRAWN,
        artwork=measured.artwork,
        measured=measured,
    )
    drawing = _drawing(order, own, (), 0.0, set())
    return [thumbnail_of(_picture(order, drawing, None, drawing.placement))]


def _encoded(order: Order, drawing: Drawing, picture: Picture) -> tuple[Encoded, ...]:
    if order.workshop.verb == "audit":
        return make("thumbnail", picture) if order.wants_thumbnails else ()
    asked = (
        ("plate-png", order.settings.plate),
        ("white-base-png", order.settings.white_base and needs_base(order.product, drawing.blanks)),
    )
    own = (*order.product.outputs, *(kind for kind, is_asked in asked if is_asked))
    wanted = ("recoloured-svg",) if order.workshop.verb == "recolour" else tuple(dict.fromkeys(own))
    made: list[Encoded] = []
    for kind in (*wanted, "thumbnail") if order.wants_thumbnails else wanted:
        if kind in kinds():
            made += make(kind, picture)
    return tuple(made)


def _shop_pictures(order: Order, drawing: Drawing, raster: Raster | None, on_file: Picture | None) -> list[Encoded]:
    """Pictures of the product with this print on it, for a shop page, cut as the one on file."""
    wish = order.workshop.pictures
    if wish is None or order.workshop.verb != "convert":
        return []
    placement = _on_full_canvas(order, drawing)
    is_cut_outlined = drawing.settled.treatment.kind == "keyline" and order.product.cut is not None  # cut around its pixels
    needs_print = not is_scalable(drawing.settled.artwork) or (raster is None and is_cut_outlined)
    if needs_print and (raster is None or placement is not drawing.placement) and not order.workshop.dry_run:
        raster, placement = _drawn(order, replace(drawing, placement=placement), keep=False)
    picture = _picture(order, drawing, raster, placement)
    if order.studio is None or order.workshop.dry_run:
        from vectorprep.pipeline.pictures import planned_outputs

        return list(planned_outputs(wish, picture, drawing.blanks))
    white_ink = {blank.key: policy_for(order.product, blank).has_white_ink for blank in drawing.blanks}
    title = order.settings.title or drawing.settled.artwork.title
    return list(order.studio.pictures(picture, drawing.blanks, white_ink=white_ink, title=title, cut_from=on_file))


def _on_full_canvas(order: Order, drawing: Drawing) -> Placement:
    """The placement on the whole print area, whether or not the print file is trimmed."""
    if order.settings.canvas == "full":
        return drawing.placement
    measured = drawing.settled.measured
    options = place_options(order.settings, measured, keyline_mm=drawing.placement.keyline_mm)
    return place(measured, order.product, options=replace(options, canvas="full"))


def _picture(order: Order, drawing: Drawing, raster: Raster | None, placement: Placement) -> Picture:
    vector = _as_vector(order, drawing) if _wants_vector(order, drawing) else None
    return Picture(
        artwork=vector[0] if vector and order.workshop.verb == "recolour" else drawing.settled.artwork,
        placement=placement,
        product=order.product,
        treatment=drawing.settled.treatment,
        stem=drawing.stem,
        blanks=tuple(blank.key for blank in drawing.blanks),
        raster=raster,
        engine=order.bench.engine,
        finish=_finish_of(drawing, _remedies_of(order, drawing)),
        into_file=on_the_way(order.settings, order.product),
        bend=bend_of(order.product),
        preview_long_side_px=order.workshop.settings.preview_long_side_px,
        preview_trimmed=order.workshop.settings.preview_trimmed,
        version=__version__,
        inks=swapped_inks(drawing.settled.measured.inks, drawing.settled.treatment),
        spot_inks=order.settings.spot_inks,
        base_blanks=tuple(blank.key for blank in drawing.blanks if has_base_screen(order.product, blank)),
        outlined=vector,
    )


def _wants_vector(order: Order, drawing: Drawing) -> bool:
    """Whether some file holds the keyline of a picture as a path."""
    is_outlined = drawing.settled.treatment.kind == "keyline" and not order.workshop.dry_run
    return is_outlined and (order.workshop.verb == "recolour" or not VECTOR_KINDS.isdisjoint(order.product.outputs))


def _as_vector(order: Order, drawing: Drawing) -> tuple[Artwork, tuple[float, float]] | None:
    """The drawing over its keyline as a path, as wide on the page as it will be in print, and its page's corner, mm."""
    settled, treatment = drawing.settled, drawing.settled.treatment
    if settled.measured.any_ink_box_mm is None:
        return None
    window = settled.measured.any_ink_box_mm
    px_per_mm = OUTLINE_PX / max(window.width, window.height)
    size = max(1, round(window.width * px_per_mm)), max(1, round(window.height * px_per_mm))
    raster = draw_window(order.bench.engine, settled.artwork, window, *size)
    printed_per_page = drawing.placement.placed[0].px_per_mm / (drawing.placement.ppi / 25.4)
    return outlined(settled.artwork, raster, window, treatment.keyline_mm / printed_per_page, treatment.keyline_colour)


def _on_blank(order: Order, ground: Blank, blank: Blank, found: Settled) -> OnBlank:
    return OnBlank(
        blank=blank,
        ground=ground,
        ink_policy=policy_for(order.product, blank),
        limits=limits_for(order.product, blank),
        verdict=found.before if order.as_drawn else found.after,
        treatment=found.treatment,
        inks=found.measured.inks if order.as_drawn else swapped_inks(found.measured.inks, found.treatment),
        parts=found.parts_before if order.as_drawn else found.parts_after,
        named_inks=len(order.settings.spot_inks),
    )


def _pair(order: Order, blank: Blank, found: Settled, findings: list[Finding]) -> dict[str, Any]:
    own = tuple(finding for finding in findings if finding.blank in {"", blank.key})
    pair = Pair(
        artwork=order.job.name,
        product=order.product.key,
        blank=blank.key,
        verdict=found.before,
        verdict_after=found.after,
        treatment=found.treatment,
    )
    return pair_record(pair, own)
