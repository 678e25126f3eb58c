"""The public functions: convert, audit, recolour, measure, verify.

Comes in: paths, options, a progress callback. Goes out: a `RunReport`, or a `Measurement` for one drawing.
Never done here: printing, ending the process.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from vectorprep.errors import Stopped
from vectorprep.model import Measurement
from vectorprep.pipeline.batch import Batch, Tally, engine_words
from vectorprep.pipeline.estimate import least_bytes
from vectorprep.pipeline.gather import gathered, next_line, titles_of
from vectorprep.pipeline.manifest import adopt, require_free, write_manifest
from vectorprep.pipeline.options import ProgressCallback, RunOptions, RunReport, exit_code_of
from vectorprep.pipeline.papers import require_columns
from vectorprep.pipeline.reports import is_page, require_kind, write_places, write_report
from vectorprep.pipeline.setup import Setup, set_up
from vectorprep.pipeline.workshop import Verb
from vectorprep.report.records import finding_record
from vectorprep.run.ledger import Ledger
from vectorprep.run.stop import no_stop, stop_signals
from vectorprep.store import OutFolder, check_out_folder, free_bytes

Paths = Sequence[str | os.PathLike[str]]


def convert_artworks(
    arts: Paths, out: str | os.PathLike[str], *, options: RunOptions | None = None, progress: ProgressCallback | None = None
) -> RunReport:
    """Print files, previews and a manifest for every drawing, product and blank asked for.

    Raises:
        UsageError, RecordError: before anything is written.
        FolderError, FolderBusy: the out folder cannot be used.
    """
    return _with_folder("convert", arts, out, options or RunOptions(), progress)


def recolour_artworks(
    arts: Paths, out: str | os.PathLike[str], *, options: RunOptions | None = None, progress: ProgressCallback | None = None
) -> RunReport:
    """Each drawing as it will be printed on each blank, as SVG. Raises as `convert_artworks`."""
    return _with_folder("recolour", arts, out, options or RunOptions(), progress)


def audit_artworks(
    arts: Paths,
    *,
    options: RunOptions | None = None,
    report_file: str | None = None,
    places_folder: str | None = None,
    progress: ProgressCallback | None = None,
) -> RunReport:
    """The drawings judged as drawn on every blank and checked at print size; nothing is made.

    Args:
        arts: files and folders.
        options: what to judge.
        report_file: write the record there: `.html` (pictures in a folder beside it), `.json`, `.csv` or text, by its ending.
        places_folder: write small pictures there on which the places of findings are ringed, one for each artwork, product
            and check.
        progress: called after each artwork.

    Raises:
        UsageError, RecordError: settings, products, blanks or artworks named wrongly.
        FolderError: the report or the pictures cannot be written.
    """
    return _looked_at("audit", arts, options or RunOptions(), progress, report_file=report_file, places_folder=places_folder)


def measure_artworks(
    arts: Paths,
    *,
    options: RunOptions | None = None,
    overlay_file: str | None = None,
    progress: ProgressCallback | None = None,
) -> RunReport:
    """Page, ink box, inks, images and text of every drawing; with products also the printed sizes. Raises as `audit_artworks`."""
    report = _looked_at("measure", arts, options or RunOptions(), progress)
    if overlay_file is not None:
        from vectorprep.pipeline.overlay import write_overlay

        write_overlay(arts, options or RunOptions(), overlay_file)
    return report


def measure_artwork(source: bytes | str | os.PathLike[str], *, options: RunOptions | None = None) -> Measurement:
    """The measurement of one drawing, in this process.

    Args:
        source: bytes of an SVG, or the path of one.
        options: engine and fonts.

    Raises:
        ArtworkRefused: it cannot be read safely.
        ArtworkFailed: the engine stops.
    """
    from vectorprep.pipeline.single import measured_alone

    return measured_alone(source, options or RunOptions())


def verify_outputs(folder: str | os.PathLike[str]) -> RunReport:
    """The files of an out folder against its manifest, and the manifest against itself.

    Raises:
        UsageError: the folder holds no manifest.
    """
    from vectorprep.pipeline.verify import verified

    return verified(Path(folder))


def _looked_at(
    verb: Verb,
    arts: Paths,
    options: RunOptions,
    progress: ProgressCallback | None,
    *,
    report_file: str | None = None,
    places_folder: str | None = None,
) -> RunReport:
    if report_file is not None:
        require_kind(report_file)
        options = replace(options, thumbnails=options.thumbnails or is_page(report_file))
    options = replace(options, thumbnails=options.thumbnails or places_folder is not None)
    setup = set_up(verb, arts, options)
    tally = Tally(total=len(setup.drawings), progress=progress)
    words = engine_words(setup)
    has_second = _has_second(setup, tally)
    Batch(setup=setup, tally=tally, engine_words=words, has_second=has_second).carry_out()
    record = _record_of(setup, tally, words)
    record["summary"]["next"] = next_line(record, art=os.fspath(arts[0]), out="")
    if report_file is not None:
        write_report(report_file, setup, tally, record)
    if places_folder is not None:
        write_places(places_folder, setup, tally, record)
    return _report(setup, record, tally)


def _with_folder(
    verb: Verb, arts: Paths, out: str | os.PathLike[str], options: RunOptions, progress: ProgressCallback | None
) -> RunReport:
    setup = set_up(verb, arts, options)
    require_columns(setup)
    check_out_folder(out, [os.fspath(art) for art in arts])
    tally = Tally(total=len(setup.drawings), progress=progress)
    words = engine_words(setup)
    stopped: Stopped | None = None
    if options.dry_run:
        Batch(setup=setup, tally=tally, engine_words=words).carry_out()
        tally.notes.append(f"{free_bytes(out) / 1e6:.0f} MB are free on the disk of {os.fspath(out)}")
    else:
        with (
            stop_signals(),
            OutFolder(out, arts=[os.fspath(art) for art in arts], force=options.force) as folder,
            Ledger(folder.ledger_path) as ledger,
        ):
            tally.notes += adopt(folder, ledger)
            require_free(folder, ledger)
            has_second = _has_second(setup, tally)
            if verb == "convert" and not any(ledger.outputs()):
                folder.require_space(least_bytes(setup.products, len(setup.drawings)))
            try:
                Batch(setup=setup, tally=tally, engine_words=words, folder=folder, ledger=ledger, has_second=has_second).carry_out()
            except Stopped as error:
                stopped = error
            with no_stop():
                write_manifest(setup, tally, words, folder, ledger, is_complete=stopped is None)
    record = _record_of(setup, tally, words)
    has_sheet = setup.has_review and not options.dry_run
    record["summary"]["next"] = next_line(record, art=os.fspath(arts[0]), out=os.fspath(out), has_sheet=has_sheet)
    if stopped is not None:
        record["summary"]["next"] = stopped.fix
        tally.notes.append(f"{stopped.message}: {len(tally.results)} of {tally.total} artworks are done; {stopped.fix}")
    return _report(setup, record, tally, stopped=stopped is not None)


def _has_second(setup: Setup, tally: Tally) -> bool:
    """Whether a second renderer is wanted and there; its absence is a note."""
    if not setup.has_second_opinion:
        return False
    from vectorprep.pipeline.second import second_engine

    engine = second_engine()
    if engine is None:
        tally.notes.append("no second renderer is installed, so the drawings were drawn by one alone; pip install 'pyvips[binary]'")
    return engine is not None


def _names(setup: Setup) -> list[str]:
    return [drawing.source.name for drawing in setup.drawings]


def _record_of(setup: Setup, tally: Tally, words: str) -> dict[str, Any]:
    return gathered(
        setup.verb, _names(setup), tally.results, tally.outputs, engine=words, findings=map(finding_record, setup.scene_findings)
    )


def _report(setup: Setup, record: dict[str, Any], tally: Tally, *, stopped: bool = False) -> RunReport:
    fail_on = setup.options.fail_on or setup.settings.fail_on
    return RunReport(
        record=record,
        exit_code=exit_code_of(record, fail_on=fail_on, stopped=stopped, bug=bool(tally.bugs)),
        notes=(*setup.notes, *tally.notes),
        bugs=tuple(tally.bugs),
        titles=titles_of(tally.results.items()),
    )
