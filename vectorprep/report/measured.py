"""What `measure` shows of each drawing: page, ink box, inks, images, text, what lies outside.

Comes in: a run's record. Goes out: text. Never done here: printing or measuring.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from vectorprep.report.text import clean, counted
from vectorprep.units import size_words

Record = Mapping[str, Any]
SOURCES = {
    "stated": "",
    "viewBox": " (size from the viewBox, in CSS px)",
    "ratio": " (one side from the viewBox's ratio)",
    "percent": " (a percentage of the viewBox)",
    "default": " (no size in the file: CSS default)",
    "override": " (units per inch from the settings)",
}


def measure_text(run: Record, *, verbose: int = 0) -> str:
    """A block of lines per artwork."""
    sizes: dict[str, list[Record]] = {}
    for item in run.get("sizes", []):
        sizes.setdefault(item["artwork"], []).append(item)
    blocks = [_block(artwork, sizes.get(artwork["name"], []), verbose) for artwork in run["artworks"]]
    return clean("\n\n".join("\n".join(block) for block in blocks)) + "\n"


def _block(artwork: Record, sizes: Sequence[Record], verbose: int) -> list[str]:
    head = artwork["name"] + (f"  ({artwork['path']})" if artwork["path"] else "")
    if artwork["status"] != "ok":
        error = artwork["error"]
        return [head, f"  {artwork['status']}: {error['message']}", f"  fix: {error['fix']}"]
    lines = [head, f"  page      {size_words(*artwork['page_mm'])}{SOURCES.get(artwork['page_size_source'], '')}"]
    lines += _ink_lines(artwork)
    lines += _ink_list(artwork["inks"], verbose)
    lines += [_size_line(size) for size in sizes]
    lines += [_image_line(image) for image in artwork["images"]]
    lines += [_text_line(text) for text in artwork["text"]]
    for finding in artwork["findings"]:
        if finding["severity"] != "note" or verbose:
            lines.append(f"  {finding['severity']:<9} {finding['check']}: {finding['message']}")
    return lines


def _ink_lines(artwork: Record) -> list[str]:
    box = artwork["ink_box_mm"]
    if box is None:
        return ["  ink       none: nothing is painted on the page"]
    page = artwork["page_mm"]
    share = (box[2] - box[0]) * (box[3] - box[1]) / (page[0] * page[1])
    lines = [
        f"  ink       {size_words(box[2] - box[0], box[3] - box[1])}, {share:.0%} of the page,"
        f" from ({box[0]:.2f}, {box[1]:.2f}) to ({box[2]:.2f}, {box[3]:.2f}) mm, within {artwork['tolerance_mm']:.3f} mm"
    ]
    if artwork["background"]:
        rest = artwork["box_without_background_mm"]
        words = size_words(rest[2] - rest[0], rest[3] - rest[1]) if rest else "nothing"
        lines.append(f"  plate     {artwork['background']} over the whole page; without it {words}")
    sides = zip(("left", "top", "right", "bottom"), artwork["outside_mm"], strict=True)
    beyond = [f"{length:.1f} mm {side}" for side, length in sides if length > 0]
    if beyond:
        lines.append(f"  outside   ink beyond the page: {', '.join(beyond)}")
    return lines


def _ink_list(inks: Sequence[Record], verbose: int) -> list[str]:
    if not inks:
        return []
    shown = inks if verbose else inks[:8]
    lines = [f"  inks      {counted(len(inks), 'ink')}: colour, share of the ink area, share of the outline"]
    lines += [f"            {ink['colour']}  {ink['area_share']:>6.1%}  {ink['edge_share']:>6.1%}  {ink['kind']}" for ink in shown]
    if len(shown) < len(inks):
        lines.append(f"            ... and {len(inks) - len(shown)} more; -v shows all")
    return lines


def _size_line(size: Record) -> str:
    words = f"  printed   {size['product']}: {size['words']}"
    if size.get("image_ppi"):
        words += f"; its images at {min(size['image_ppi']):.0f} ppi or more"
    return words


def _image_line(image: Record) -> str:
    ppi = image["ppi_at_page_size"]
    at = f", {ppi:.0f} ppi at the page's size" if ppi else ""
    return f"  image     {image['element']}: {image['width_px']} x {image['height_px']} px{at}"


def _text_line(text: Record) -> str:
    drawn = f"drawn in {text['resolved']}" if text["resolved"] else "its family is not to be had"
    asked = ", ".join(text["families"]) or "no family named"
    return f'  text      "{text["text"][:40]}" ({asked}; {drawn}), {text["size_mm"]:.1f} mm'
