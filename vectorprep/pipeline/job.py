"""One artwork from bytes to results: read, measure, then for each product place, settle, draw, check.

Comes in: the run's `Workshop` once, then a `Job`. Goes out: emitted `Encoded` outputs and a `JobResult`.
Runs in a worker process and knows no files. Never done here: the rules of any room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from vectorprep.engine import Engine, open_engine
from vectorprep.engine.memory import keep_big_buffers
from vectorprep.errors import ArtworkFailed, ArtworkRefused
from vectorprep.fonts import FontIndex, load_index
from vectorprep.measure import measure
from vectorprep.model import Artwork, Finding, Measurement, Product
from vectorprep.pipeline.allowance import time_allowed
from vectorprep.pipeline.bracket import Bench
from vectorprep.pipeline.catalogue import blank_of
from vectorprep.pipeline.choices import accepted, in_force, read_options, stale_finding
from vectorprep.pipeline.made import DRAWING_VERBS, Order, make_product
from vectorprep.pipeline.probe import contents, require_drawable
from vectorprep.pipeline.refusals import refusal
from vectorprep.pipeline.workshop import Job, JobResult, Variant, Workshop
from vectorprep.read import read_artwork
from vectorprep.report.records import artwork_record, finding_record
from vectorprep.run.tasks import Doing
from vectorprep.settings import ArtworkSettings

if TYPE_CHECKING:
    from vectorprep.pipeline.pictures import Studio

Emit = Callable[[object], None]
SHARE_OF_DRAWING = 0.5  # of the time an artwork is given, house value: the rest is checks and files
MEASURED = "measured"
"""What a job says when it has read and measured its artwork: a step of its own for the clock."""


@dataclass(slots=True)
class Tools:
    """What a worker keeps between jobs: the run's common part, the engine, the fonts."""

    workshop: Workshop
    fonts: FontIndex
    engine: Engine
    studio: Studio | None = None
    """Where product pictures are made, if any are wanted."""


_bench: list[Tools] = []


def set_up(workshop: Workshop) -> None:
    """Called once in each worker, before its first job."""
    _bench[:] = [tools_for(workshop)]


def current_tools() -> Tools:
    """The tools of this worker."""
    return _bench[0]


def tools_for(workshop: Workshop) -> Tools:
    """Engine and fonts of a run."""
    keep_big_buffers()
    fonts = load_index(workshop.fonts)
    engine = open_engine(workshop.engine, font_files=fonts.files)
    studio = None
    if workshop.pictures is not None:
        from vectorprep.pipeline.pictures import Studio

        studio = Studio(wish=workshop.pictures, engine=engine, fonts=fonts)
    return Tools(workshop=workshop, fonts=fonts, engine=engine, studio=studio)


def carry_out(job: Job, emit: Emit) -> JobResult:
    """The job of a worker process."""
    return work(job, _bench[0], emit)


def work(job: Job, tools: Tools, emit: Emit) -> JobResult:
    """All results of one artwork; a refusal or failure is a result too."""
    settings = in_force(tools.workshop.settings, job.name, job.sha256)
    artwork: Artwork | None = None
    try:
        emit(Doing(f"reading its {len(job.data) / 1e6:.1f} MB"))
        artwork = read_artwork(
            job.data, name=job.name, path=job.path, slug=job.slug, options=read_options(settings), fonts=tools.fonts
        )
        held = contents(artwork)
        emit(Doing(f"trying what it costs to draw; it has {held}"))
        require_drawable(artwork, tools.engine, *_asked(job, tools.workshop))
        emit(Doing(f"measuring it; it has {held}"))
        measured = _measured(artwork, tools, settings)
        emit(MEASURED)
        variants = {variant.name: _variant(job, variant, tools, settings) for variant in job.variants}
        return _results(job, tools, settings, Bench(measured=measured, engine=tools.engine, variants=variants), emit)
    except (ArtworkRefused, ArtworkFailed) as error:
        return refusal(job, error, artwork)


def _asked(job: Job, workshop: Workshop) -> tuple[list[Product], float]:
    """The products that are drawn for, and the seconds that all of it is given; one trial of measuring is always paid."""
    products = [workshop.products[key] for key, _ in job.scope]
    pairs = sum(len(blanks) for _, blanks in job.scope)
    _, wall_s = time_allowed(products, pairs, workshop.time_limit_s)
    return products if workshop.verb in DRAWING_VERBS else products[:1], wall_s * SHARE_OF_DRAWING


def _measured(artwork: Artwork, tools: Tools, settings: ArtworkSettings) -> Measurement:
    measured = measure(artwork, tools.engine, page=settings.page, background=settings.background)
    if measured.ink_box_mm is None and tools.workshop.verb != "measure":
        raise ArtworkRefused(
            "no ink: nothing is painted on the page",
            fix="check that the artwork is visible, opaque and inside the page",
            code="no-ink",
        )
    return measured


def _variant(job: Job, variant: Variant, tools: Tools, settings: ArtworkSettings) -> Measurement:
    """The measurement of the seller's own drawing for some blanks; it carries the name of the artwork that it stands for."""
    words = f"its drawn variant {variant.name}"
    try:
        artwork = read_artwork(
            variant.data, name=job.name, path=variant.name, slug=job.slug, options=read_options(settings), fonts=tools.fonts
        )
        measured = measure(artwork, tools.engine, page=settings.page, background=settings.background)
    except ArtworkRefused as error:
        raise ArtworkRefused(f"{words}: {error.message}", fix=error.fix, code=error.code) from error
    if measured.ink_box_mm is None:
        raise ArtworkRefused(f"{words} holds no ink", fix="draw it, or take it out of the settings", code="no-ink")
    return measured


def _results(job: Job, tools: Tools, settings: ArtworkSettings, bench: Bench, emit: Emit) -> JobResult:
    workshop, measured = tools.workshop, bench.measured
    findings = list(_own_findings(measured, settings, job.name))
    artwork_findings = tuple(findings)
    pairs: list[dict[str, Any]] = []
    sizes: list[dict[str, Any]] = []
    error: ArtworkRefused | None = None
    held = contents(measured.artwork)
    for key, blank_keys in job.scope:
        product = workshop.products[key]
        order = Order(
            bench=bench,
            product=product,
            blanks=tuple(blank_of(workshop.blanks, blank) for blank in blank_keys),
            workshop=workshop,
            settings=in_force(workshop.settings, job.name, job.sha256, key),
            job=job,
            studio=tools.studio,
            tell=lambda step, key=key: emit(Doing(f"{step} for {key}; it has {held}")),  # type: ignore[misc]
        )
        try:
            made = make_product(order)
        except ArtworkRefused as refused:
            error = error or ArtworkRefused(f"{key}: {refused.message}", fix=refused.fix, code=refused.code)
            continue
        for encoded in made.encoded:
            emit(encoded)
        pairs += made.pairs
        sizes += made.sizes
        findings += made.findings
    record = artwork_record(measured, artwork_findings)
    if error is not None:  # the plan says no for a product; what could be made is delivered
        record |= {"status": "refused", "error": {"code": error.code, "message": error.message, "fix": error.fix}}
    return JobResult(
        artwork=record,
        pairs=tuple(pairs),
        findings=tuple(finding_record(finding) for finding in findings),
        sizes=tuple(sizes),
        title=settings.title or record["title"],
    )


def _own_findings(measured: Measurement, settings: ArtworkSettings, name: str) -> Iterable[Finding]:
    for finding in (*measured.artwork.findings, *measured.findings):
        yield accepted(replace(finding, artwork=name), settings)
    stale = stale_finding(settings, name, measured.artwork.sha256)
    if stale is not None:
        yield stale
