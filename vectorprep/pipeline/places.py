"""Small pictures that show where findings are: one for each kind of finding on an artwork and a product.

Comes in: an audit's record, its thumbnails, the blanks. Goes out: names and bytes of WebP files.
Never done here: writing them; finding the places.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from vectorprep.report.highlight import highlight
from vectorprep.report.records import output_record

if TYPE_CHECKING:
    from vectorprep.model import Blank, Encoded
    from vectorprep.model.result import Corners

Record = Mapping[str, Any]
LONG_SIDE_PX = 640  # house value: as large as the thumbnails it is made from


def place_pictures(record: Record, thumbnails: Sequence[Encoded], blanks: Mapping[str, Blank]) -> dict[str, bytes]:
    """A picture for each artwork, product and check of which a finding names its place; notes have none."""
    shown = [(output_record(item.output), item.data) for item in thumbnails]
    artworks = {artwork["name"]: artwork for artwork in record["artworks"]}
    groups: dict[tuple[str, str, str], list[Record]] = {}
    for finding in record["findings"]:
        if finding["place_mm"] and finding["severity"] != "note":
            groups.setdefault((finding["artwork"], finding["product"], finding["check"]), []).append(finding)
    pictures: dict[str, bytes] = {}
    for (name, product, check), findings in groups.items():
        blank = findings[0]["blank"]
        fitting = (one for one in shown if one[0]["artwork"] == name and product in {"", one[0]["product"]})
        thumbnail, data = next((one for one in fitting if not blank or blank in one[0]["blanks"]), (None, b""))
        if thumbnail is None:
            continue
        places = {place for finding in findings if (place := _in_window(finding, artworks[name], thumbnail)) is not None}
        ground = blanks[blank or thumbnail["blanks"][0]].colour
        stem = "--".join(part for part in (artworks[name]["slug"], product, check) if part)
        pictures[f"{stem}.webp"] = highlight(
            data, sorted(places), ground, window=tuple(thumbnail["window_mm"]), long_side_px=LONG_SIDE_PX
        )
    return pictures


def _in_window(finding: Record, artwork: Record, thumbnail: Record) -> Corners | None:
    """A finding's box in mm of the print file; one on the page goes with the ink; None = outside what is shown."""
    box = [float(value) for value in finding["place_mm"]]
    window = thumbnail["window_mm"]
    if finding["place_on"] == "page":
        ink = artwork["ink_box_mm"]
        per_px = [(window[axis + 2] - window[axis]) / thumbnail[side] for axis, side in ((0, "width_px"), (1, "height_px"))]
        there = [window[i % 2] + value * per_px[i % 2] for i, value in enumerate(thumbnail["placements"][0]["ink_box_px"])]
        scale = (there[2] - there[0]) / (ink[2] - ink[0])
        box = [there[i % 2] + (value - ink[i % 2]) * scale for i, value in enumerate(box)]
    if box[2] < window[0] or box[3] < window[1] or box[0] > window[2] or box[1] > window[3]:
        return None
    return box[0], box[1], box[2], box[3]
