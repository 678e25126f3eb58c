"""The run's record from what the artworks gave: gathered in the order of their paths, counted, with the next command.

Comes in: a tally, a setup. Goes out: the JSON contract's object. Never done here: files, work on artworks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from vectorprep import __version__
from vectorprep.plan import title_from_name
from vectorprep.report.records import run_record

Result = dict[str, Any]


def gathered(
    verb: str,
    names: Sequence[str],
    results: Mapping[str, Result],
    outputs: Mapping[str, Sequence[Result]],
    *,
    engine: str,
    findings: Iterable[Result] = (),
    next_line: str = "",
) -> dict[str, Any]:
    """One object for the artworks named, in their order; those without a result yet (a stopped run) are left out.

    `findings` are those of the run itself, told before those of its artworks.
    """
    present = [name for name in names if name in results]
    artworks = [results[name]["artwork"] for name in present]
    pairs = [pair for name in present for pair in results[name]["pairs"]]
    told = [*findings, *(finding for name in present for finding in results[name]["findings"])]
    made, small = parted(output for name in present for output in outputs.get(name, ()))
    record = run_record(verb, version=__version__, engine=engine, artworks=artworks, pairs=pairs, outputs=made, findings=told)
    sizes = [size for name in present for size in results[name]["sizes"]]
    if sizes:
        record["sizes"] = sizes
    if small:
        record["thumbnails"] = small
    record["summary"] = summary_of(record, next_line=next_line)
    return record


def parted(outputs: Iterable[Result]) -> tuple[list[Result], list[Result]]:
    """What is made for the seller, and the thumbnails that only the review page shows."""
    made: list[Result] = []
    small: list[Result] = []
    for output in outputs:
        (small if output["kind"] == "thumbnail" else made).append(output)
    return made, small


def summary_of(record: Mapping[str, Any], *, next_line: str = "") -> dict[str, Any]:
    """Counts of what was made, judged and found."""
    artworks, pairs, outputs = record["artworks"], record["pairs"], record["outputs"]
    states = Counter(artwork["status"] for artwork in artworks)
    after = Counter(pair["verdict_after"] for pair in pairs)
    severities = Counter(finding["severity"] for finding in record["findings"])
    unchanged = {"as-drawn", "ask"}
    summary: dict[str, Any] = {
        "artworks": len(artworks),
        "ok": states["ok"],
        "refused": states["refused"],
        "failed": states["failed"],
        "pairs": len(pairs),
        "clear_as_drawn": sum(pair["verdict"] == "clear" and pair["treatment"] in unchanged for pair in pairs),
        "changed": sum(pair["treatment"] not in unchanged and pair["verdict_after"] == "clear" for pair in pairs),
        "weak": after["weak"],
        "lost": after["lost"],
        "outputs": len(outputs),
        "bytes": sum(output["bytes"] for output in outputs),
        "findings": {severity: severities[severity] for severity in ("error", "warning", "note")},
    }
    for state in ("made", "kept", "planned", "failed"):
        number = sum(output["state"] == state for output in outputs)
        summary[f"outputs_{state}"] = number
    if next_line:
        summary["next"] = next_line
    return summary


def without_state(record: Mapping[str, Any]) -> dict[str, Any]:
    """The record as it is kept in `manifest.json`: no states, so that two runs give the same bytes."""
    files = {key: [_stateless(output) for output in record[key]] for key in ("outputs", "thumbnails") if key in record}
    summary = {key: value for key, value in record["summary"].items() if not key.startswith("outputs_") and key != "next"}
    return {**record, **files, "summary": summary}


def _stateless(output: Result) -> Result:
    return {key: value for key, value in output.items() if key != "state"}


def titles_of(results: Iterable[tuple[str, Result]]) -> dict[str, str]:
    """Title of each artwork: its own, else made from its file name."""
    return {name: result["title"] or title_from_name(name.rpartition("/")[2]) for name, result in results}


def next_line(record: Mapping[str, Any], *, art: str, out: str, has_sheet: bool = False) -> str:
    """The next thing to do, from the worst thing the run holds; `has_sheet` = the run wrote its review page."""
    errors = [finding for finding in record["findings"] if finding["severity"] == "error"]
    if record["summary"]["refused"] or record["summary"]["failed"]:
        return "mend the drawings named above and run the same command again; what is made is kept"
    if errors:
        words = f"vectorprep explain {errors[0]['check']}"
        return f"open {out.rstrip('/')}/review.html, which shows where; {words}" if has_sheet else words
    if record["verb"] == "convert" and record["summary"]["outputs_planned"]:
        return "the same command without --dry-run"
    if record["verb"] == "convert":
        return f"open {out.rstrip('/')}/review.html" if has_sheet else f"vectorprep verify {out}"
    return f"vectorprep convert {art} --out ready" if record["verb"] == "audit" else ""
