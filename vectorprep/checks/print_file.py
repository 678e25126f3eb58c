"""The print file itself against the record: pixels, density, size on disk, background, who mirrors.

Comes in: evidence with the outputs that were made. Goes out: `pixel-size-mismatch`, `density-tag-missing`, `file-too-large`,
`background-not-opaque`, `background-not-transparent`, `mirror-flag-conflict`. Never done here: reading files.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence
from vectorprep.model import Explanation, Finding, Output

SLUGS = {
    "pixel-size-mismatch": Explanation(
        cause="The print file has other pixels than the product's record asks for.",
        consequence="The printer scales it or refuses it.",
        remedy="Take the trimmed canvas out of the settings, or correct the record.",
    ),
    "density-tag-missing": Explanation(
        cause="The density written into the print file is not the product's.",
        consequence="Programs open it at another size in millimetres.",
        remedy="Set write_density_tag and resolution_ppi in the product's record and make the file again.",
    ),
    "file-too-large": Explanation(
        cause="The print file has more bytes, or more pixels, than the printer takes.",
        consequence="The upload is refused.",
        remedy="Too many bytes: remove grain and textures that are finer than the print. Too many pixels: lower resolution_ppi or"
        " the print area in the product's record. Or raise file_size_max_mb, side_max_px or area_max_megapixel"
        " if the printer allows.",
    ),
    "background-not-opaque": Explanation(
        cause="The product wants an opaque picture, and parts of it are transparent.",
        consequence="They print in an unforeseen colour, white or black.",
        remedy="Set background in the product's record to opaque_white, or draw a background.",
    ),
    "background-not-transparent": Explanation(
        cause="The product wants a transparent background, and the picture is opaque in all four corners.",
        consequence="A rectangle is printed around the design.",
        remedy='Take the background out of the drawing, or set background = "drop" for this artwork in the settings.',
    ),
    "mirror-flag-conflict": Explanation(
        cause="The product's record says two different things about mirroring.",
        consequence="The print may come out back to front.",
        remedy="Correct mirror and mirror_done_by in the product's record.",
    ),
}
DENSITY_TOLERANCE_PPI = 0.05  # common practice, no source; rounding to whole pixels per metre takes 0.0124 of it at 150 ppi
BYTES_PER_MB = 1_000_000


def check(evidence: Evidence) -> Iterator[Finding]:
    """Findings about files only where files were made."""
    for output in evidence.outputs:
        if output.kind == "print-png":
            yield from _sizes(evidence, output)
            yield from _pixels(evidence, output)
        if output.bytes > evidence.product.file.file_size_max_mb * BYTES_PER_MB:
            yield _finding(
                "file-too-large",
                f"{output.path} has {output.bytes / BYTES_PER_MB:.1f} MB, above {evidence.product.file.file_size_max_mb:g}",
                measured=round(output.bytes / BYTES_PER_MB, 2),
                limit=evidence.product.file.file_size_max_mb,
                unit="MB",
            )
    yield from _background(evidence)
    yield from _mirror(evidence)


def _finding(
    slug: str, message: str, *, measured: float | str | None = None, limit: float | str | None = None, unit: str = ""
) -> Finding:
    fix = SLUGS[slug].remedy.rstrip(".")
    return Finding(check=slug, severity="error", message=message, fix=fix, measured=measured, limit=limit, unit=unit)


def _sizes(evidence: Evidence, output: Output) -> Iterator[Finding]:
    wanted, product = evidence.product.file_size_px, evidence.product
    if (output.width_px, output.height_px) != wanted:
        made, asked = f"{output.width_px} x {output.height_px}", f"{wanted[0]} x {wanted[1]}"
        yield _finding("pixel-size-mismatch", f"the print file has {made} px, not {asked}", measured=made, limit=asked, unit="px")
    off = abs(output.ppi - product.resolution_ppi)
    if not product.file.write_density_tag or off > DENSITY_TOLERANCE_PPI:
        words = f"the print file is tagged {output.ppi:g} ppi, not {product.resolution_ppi:g}"
        yield _finding("density-tag-missing", words, measured=output.ppi, limit=product.resolution_ppi, unit="ppi")


def _pixels(evidence: Evidence, output: Output) -> Iterator[Finding]:
    """Against the most pixels that the printer takes, along a side and altogether."""
    rule, longest = evidence.product.file, max(output.width_px, output.height_px)
    if rule.side_max_px is not None and longest > rule.side_max_px:
        words = f"the print file is {longest} px long, above the printer's {rule.side_max_px} px"
        yield _finding("file-too-large", words, measured=longest, limit=rule.side_max_px, unit="px")
    area = output.width_px * output.height_px / 1e6
    if rule.area_max_megapixel is not None and area > rule.area_max_megapixel:
        words = f"the print file has {area:.1f} megapixels, above the printer's {rule.area_max_megapixel:g}"
        yield _finding("file-too-large", words, measured=round(area, 2), limit=rule.area_max_megapixel, unit="megapixels")


def _background(evidence: Evidence) -> Iterator[Finding]:
    wants_opaque = evidence.product.background.startswith("opaque")
    raster = evidence.raster
    if raster is None:
        return
    if wants_opaque and evidence.placement.background is None:
        yield _finding(
            "background-not-opaque", f"{evidence.product.name} wants an opaque picture, and its background is transparent"
        )
    elif not wants_opaque and evidence.product.fit == "contain":  # art that covers a wrap or a case is meant to be opaque
        height, width = raster.pixels.shape[:2]
        fills = raster.origin_px == (0, 0) and (width, height) == evidence.placement.canvas_px
        if fills and all(raster.pixels[y, x, 3] == 255 for y in (0, -1) for x in (0, -1)):
            yield _finding("background-not-transparent", "all four corners of the print file are opaque")


def _mirror(evidence: Evidence) -> Iterator[Finding]:
    product = evidence.product
    nobody = product.mirror_done_by in {"", "not_applicable", "nobody"}
    if (product.mirror == "none") != nobody:
        words = f"the record says mirror = {product.mirror} and mirror_done_by = {product.mirror_done_by or 'nothing'}"
        yield _finding("mirror-flag-conflict", words, measured=product.mirror_done_by, limit=product.mirror)
