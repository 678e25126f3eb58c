"""What changed from one run to the next: figures of a record, and the differences between two of them.

Comes in: records of runs. Goes out: the few figures that are kept, and a list of changes with old, new and difference.
Never done here: files, deciding which run is the earlier one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from vectorprep.report.sheet_words import treatment, verdict_figure
from vectorprep.units import length_words, size_words

Record = Mapping[str, Any]
Figures = dict[str, Any]
SEPARATOR = "\t"


def figures_of(run: Record) -> Figures:
    """The figures of a record that a later run is compared with."""
    artworks = {
        artwork["name"]: {"status": artwork["status"], "sha256": artwork["sha256"], "findings": _loud(artwork["findings"])}
        for artwork in run["artworks"]
    }
    sizes = {
        _key(output["artwork"], output["product"]): {"printed_mm": list(output["printed_mm"]), "corner_mm": _corner(output)}
        for output in run["outputs"]
        if output.get("position")
    }
    pairs = {
        _key(pair["artwork"], pair["product"], pair["blank"]): {
            "verdict": pair["verdict_after"],
            "figure": verdict_figure(pair, "_after"),
            "faded": pair["outline_faded_after"],
            "treatment": pair["treatment"],
            "findings": _loud(pair["findings"]),
        }
        for pair in run["pairs"]
    }
    return {"artworks": artworks, "sizes": sizes, "pairs": pairs}


def changes_between(old: Figures, new: Figures) -> list[dict[str, str]]:
    """Changes of what both runs hold, and what came or went, in the order of the new run."""
    return [*_artworks(old["artworks"], new["artworks"]), *_sizes(old["sizes"], new["sizes"]), *_pairs(old["pairs"], new["pairs"])]


def _loud(findings: Iterable[Record]) -> list[str]:
    return sorted({finding["check"] for finding in findings if finding["severity"] != "note"})


def _corner(output: Record) -> list[float]:
    """Where the ink of the first copy begins on the print file, mm from the left and the upper edge."""
    left, top = output["placements"][0]["ink_box_px"][:2]
    return [round(left * 25.4 / output["ppi"], 2), round(top * 25.4 / output["ppi"], 2)]


def _key(*parts: str) -> str:
    return SEPARATOR.join(parts)


def _change(key: str, what: str, old: str, new: str, difference: str = "") -> dict[str, str]:
    artwork, product, blank = (*key.split(SEPARATOR), "", "")[:3]
    return {"artwork": artwork, "product": product, "blank": blank, "what": what, "old": old, "new": new, "difference": difference}


def _artworks(old: Figures, new: Figures) -> Iterator[dict[str, str]]:
    for name, now in new.items():
        before = old.get(name)
        if before is None:
            yield _change(name, "drawing", "not there", "new")
        elif before["status"] != now["status"]:
            yield _change(name, "drawing", before["status"], now["status"])
        elif before["sha256"] != now["sha256"]:
            yield _change(name, "drawing", "another version", "drawn anew")
        if before is not None:
            yield from _findings(name, before["findings"], now["findings"])
    for name in old:
        if name not in new:
            yield _change(name, "drawing", "there", "gone")


def _sizes(old: Figures, new: Figures) -> Iterator[dict[str, str]]:
    for key, now in new.items():
        before = old.get(key)
        if before is None:
            continue
        old_mm, new_mm = before["printed_mm"], now["printed_mm"]
        if old_mm != new_mm:
            yield _change(
                key, "print size", size_words(*old_mm), size_words(*new_mm), f"{(new_mm[0] / old_mm[0] - 1) * 100:+.1f} %"
            )
        if before["corner_mm"] != now["corner_mm"]:
            right, down = (there - here for here, there in zip(before["corner_mm"], now["corner_mm"], strict=True))
            yield _change(key, "place", _from_edges(before), _from_edges(now), f"{right:+.1f} mm right, {down:+.1f} mm down")


def _pairs(old: Figures, new: Figures) -> Iterator[dict[str, str]]:
    for key, now in new.items():
        before = old.get(key)
        if before is None:
            continue
        if (before["verdict"], before["figure"]) != (now["verdict"], now["figure"]):
            points = f"{(now['faded'] - before['faded']) * 100:+.0f} points"
            yield _change(key, "verdict", f"{before['verdict']}, {before['figure']}", f"{now['verdict']}, {now['figure']}", points)
        if before["treatment"] != now["treatment"]:
            yield _change(key, "what was done", treatment(before["treatment"]), treatment(now["treatment"]))
        yield from _findings(key, before["findings"], now["findings"])


def _findings(key: str, before: list[str], now: list[str]) -> Iterator[dict[str, str]]:
    gone = [check for check in before if check not in now]
    come = [check for check in now if check not in before]
    if gone or come:
        yield _change(key, "findings", ", ".join(gone) or "none of these", ", ".join(come) or "settled or accepted")


def _from_edges(size: Figures) -> str:
    left, top = size["corner_mm"]
    return f"{length_words(left)} from the left, {length_words(top)} from above"
