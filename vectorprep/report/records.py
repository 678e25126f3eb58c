"""The JSON contract: each value as the dictionary that programs read.

Comes in: frozen values of the model. Goes out: dictionaries of plain JSON values, keys in a fixed order, floats rounded
so that the same run gives the same bytes. Never done here: gathering, counting or deciding.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from vectorprep.geometry import Box
from vectorprep.model import Artwork, EmbeddedImage, Finding, Ink, Measurement, Output, Pair, TextRun

SCHEMA = 1
Record = dict[str, Any]


def rounded(value: float, digits: int = 4) -> float:
    """A float as it stands in JSON; no negative zero."""
    return round(float(value), digits) + 0.0


def box_record(box: Box | None) -> list[float] | None:
    """Corners in mm, or None where nothing is painted."""
    return None if box is None else [rounded(corner) for corner in box.corners]


def finding_record(finding: Finding) -> Record:
    """One finding."""
    return {
        "check": finding.check,
        "severity": finding.severity,
        "artwork": finding.artwork,
        "product": finding.product,
        "blank": finding.blank,
        "message": finding.message,
        "measured": _figure(finding.measured),
        "limit": _figure(finding.limit),
        "unit": finding.unit,
        "fix": finding.fix,
        "place_mm": None if finding.place_mm is None else [rounded(corner, 3) for corner in finding.place_mm],
        "place_on": finding.place_on,
    }


def _figure(value: float | str | None) -> float | str | None:
    return rounded(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value


def ink_record(ink: Ink) -> Record:
    """One ink with its shares of area and of the outline."""
    return {
        "colour": ink.colour,
        "area_share": rounded(ink.area_share, 5),
        "edge_share": rounded(ink.edge_share, 5),
        "kind": ink.kind,
        "in_contact": ink.in_contact,
        "touches": [[colour, rounded(share, 4)] for colour, share in ink.touches],
    }


def image_record(image: EmbeddedImage) -> Record:
    """One embedded bitmap; ppi is the smaller axis at the page's own size."""
    ppi = [
        pixels / (length / 25.4) for pixels, length in zip((image.width_px, image.height_px), image.drawn_mm, strict=True) if length
    ]
    return {
        "element": image.element,
        "width_px": image.width_px,
        "height_px": image.height_px,
        "drawn_mm": [rounded(length) for length in image.drawn_mm],
        "box_mm": [rounded(corner) for corner in image.box_mm],
        "ppi_at_page_size": rounded(min(ppi), 1) if ppi else None,
        "mode": image.mode,
        "has_alpha": image.has_alpha,
    }


def text_record(run: TextRun) -> Record:
    """One run of live text with the family that is drawn."""
    return {
        "text": run.text,
        "families": list(run.families),
        "resolved": run.resolved,
        "missing": run.missing,
        "weight": run.weight,
        "italic": run.italic,
        "size_mm": rounded(run.size_mm),
    }


def artwork_record(measured: Measurement, findings: Iterable[Finding]) -> Record:
    """An artwork that was read and measured."""
    artwork = measured.artwork
    return {
        **_artwork_head(artwork.name, artwork.slug, artwork.path, artwork.sha256),
        "status": "ok",
        "error": None,
        "title": artwork.title,
        "page_mm": [rounded(length) for length in measured.page_mm],
        "page_size_source": artwork.page.size_source,
        "ink_box_mm": box_record(measured.ink_box_mm),
        "any_ink_box_mm": box_record(measured.any_ink_box_mm),
        "tolerance_mm": rounded(measured.tolerance_mm, 6),
        "outside_mm": [rounded(length, 3) for length in measured.outside_mm],
        "background": measured.background,
        "box_without_background_mm": box_record(measured.box_without_background_mm),
        "inks": [ink_record(ink) for ink in measured.inks],
        "images": [image_record(image) for image in artwork.images],
        "text": [text_record(run) for run in artwork.text],
        "findings": [finding_record(finding) for finding in findings],
    }


def refused_record(
    name: str, slug: str, path: str, sha256: str, *, status: str, error: Mapping[str, str], artwork: Artwork | None = None
) -> Record:
    """An artwork that was refused or failed, with code, message and remedy."""
    page = [rounded(artwork.page.width_mm), rounded(artwork.page.height_mm)] if artwork else None
    return {
        **_artwork_head(name, slug, path, sha256),
        "status": status,
        "error": dict(error),
        "title": "",
        "page_mm": page,
        "page_size_source": artwork.page.size_source if artwork else "",
        "ink_box_mm": None,
        "any_ink_box_mm": None,
        "tolerance_mm": None,
        "outside_mm": [0.0, 0.0, 0.0, 0.0],
        "background": None,
        "box_without_background_mm": None,
        "inks": [],
        "images": [],
        "text": [],
        "findings": [],
    }


def _artwork_head(name: str, slug: str, path: str, sha256: str) -> Record:
    return {"name": name, "slug": slug, "path": path, "sha256": sha256}


def pair_record(pair: Pair, findings: Iterable[Finding]) -> Record:
    """One artwork on one blank of one product."""
    verdict, treatment = pair.verdict, pair.treatment
    return {
        "artwork": pair.artwork,
        "product": pair.product,
        "blank": pair.blank,
        "verdict": verdict.word,
        "verdict_after": pair.verdict_after.word,
        "decided_by": verdict.decided_by,
        "outline_faded": rounded(verdict.outline_faded),
        "contrast_ratio": rounded(verdict.contrast_ratio, 2),
        "delta_e": rounded(verdict.delta_e, 2),
        "deciding": verdict.deciding,
        "limit": rounded(verdict.limit),
        "ink": verdict.ink,
        "treatment": treatment.kind,
        "swaps": [
            {
                "before": swap.before,
                "after": swap.after,
                "ratio_before": rounded(swap.ratio_before, 2),
                "ratio_after": rounded(swap.ratio_after, 2),
            }
            for swap in treatment.swaps
        ],
        "keyline": {"colour": treatment.keyline_colour, "width_mm": rounded(treatment.keyline_mm, 3)}
        if treatment.kind == "keyline"
        else None,
        "single_ink": treatment.single_ink,
        "variant": treatment.variant,
        "reason": treatment.reason,
        "decided_by_after": pair.verdict_after.decided_by,
        "outline_faded_after": rounded(pair.verdict_after.outline_faded),
        "contrast_ratio_after": rounded(pair.verdict_after.contrast_ratio, 2),
        "deciding_after": pair.verdict_after.deciding,
        "findings": [finding_record(finding) for finding in findings],
    }


def output_record(output: Output) -> Record:
    """One file of the out folder; kinds that need it have `window_mm`, `position`, `alt`, or `ink` and `plate`."""
    window: Record = {} if output.window_mm is None else {"window_mm": [rounded(corner, 3) for corner in output.window_mm]}
    if output.canvas_origin_mm is not None:
        origin = [rounded(length, 3) for length in output.canvas_origin_mm]
        window["position"] = {"datum": output.datum, "canvas_origin_mm": origin, "rule": output.rule}
    alt: Record = {"alt": output.alt} if output.alt else {}
    if output.plate is not None:
        alt |= {"ink": output.ink, "plate": list(output.plate)}
    if output.is_mirrored:
        alt["mirrored"] = True
    return {
        "path": output.path,
        "kind": output.kind,
        "artwork": output.artwork,
        "product": output.product,
        "blanks": list(output.blanks),
        "treatment": output.treatment,
        "width_px": output.width_px,
        "height_px": output.height_px,
        "ppi": rounded(output.ppi),
        "ink_box_px": None if output.ink_box_px is None else list(output.ink_box_px),
        "placements": [
            {"ink_box_px": list(box), "printed_mm": [rounded(length, 3) for length in size]} for box, size in output.placements
        ],
        "printed_mm": [rounded(length, 3) for length in output.printed_mm],
        **window,
        **alt,
        "sha256": output.sha256,
        "bytes": output.bytes,
        "state": output.state,
    }


def run_record(
    verb: str,
    *,
    version: str,
    engine: str,
    artworks: Iterable[Record] = (),
    pairs: Iterable[Record] = (),
    outputs: Iterable[Record] = (),
    findings: Iterable[Record] = (),
    summary: Mapping[str, Any] | None = None,
) -> Record:
    """The one object that `--format json` prints, and that `convert` keeps as `manifest.json`."""
    return {
        "schema": SCHEMA,
        "verb": verb,
        "version": version,
        "engine": engine,
        "artworks": list(artworks),
        "pairs": list(pairs),
        "outputs": list(outputs),
        "findings": list(findings),
        "summary": dict(summary or {}),
    }
