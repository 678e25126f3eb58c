"""What a product asks beside its picture: the kind of file its process wants, cautions, who mirrors.

Comes in: evidence. Goes out: `output-kind-not-made`, `audience-child`, `mirror-to-be-settled`, `print-mirrored`.
Never done here: the files.
"""

from __future__ import annotations

from collections.abc import Iterator

from vectorprep.checks._evidence import Evidence
from vectorprep.model import Explanation, Finding

SLUGS = {
    "output-kind-not-made": Explanation(
        cause="The process wants a kind of file, such as separations or closed paths, that this version does not make.",
        consequence="The picture shows the design at its true size and place, but the printer cannot work from it alone.",
        remedy="Make that file in your drawing program from the recoloured drawing, or ask the printer what else is accepted and"
        " say so in the product's record.",
    ),
    "audience-child": Explanation(
        cause="The product's record says that it is made for children.",
        consequence="Stricter rules on inks, small parts, cords and claims apply in most places.",
        remedy="Ask the printer for certificates of ink and blank, take qualified advice, and claim nothing without evidence.",
    ),
    "print-mirrored": Explanation(
        cause="The process prints mirrored, and the product's record says that the seller turns the picture over.",
        consequence="The print file reads back to front on the screen and the right way round on the product.",
        remedy="Tell the printer that the file is mirrored already. If the printer mirrors, set mirror_done_by to printer.",
    ),
    "mirror-to-be-settled": Explanation(
        cause="The process prints mirrored and the record does not say who turns the picture over.",
        consequence="Mirrored twice, or not at all, lettering comes out back to front.",
        remedy="Ask the printer; set mirror_done_by in the product's record. The files are not mirrored.",
    ),
}
KIND_OF_FORMAT = {
    "png": "print-png",
    "pdf": "pdf",
    "pdf_x4": "pdf",
    "svg_closed_paths": "paths-svg",
    "png_1bit_per_spot_ink": "separation-png",
}
SEPARATIONS = "separation-png"
PLATES = frozenset({"plate-png", SEPARATIONS})
"""Made of pictures in one ink alone, so that naming it among a product's outputs is no promise."""


def check(evidence: Evidence) -> Iterator[Finding]:
    """Findings of the product, the same for every blank."""
    product = evidence.product
    made = {output.kind for output in evidence.outputs}
    offered = (set(product.outputs) - PLATES) | made | ({SEPARATIONS} if made & PLATES or not made else set())
    wanted = [form for form in product.file.formats if KIND_OF_FORMAT.get(form) not in offered]
    if len(wanted) == len(product.file.formats):
        yield Finding(
            check="output-kind-not-made",
            severity="warning",
            message=f"{product.name} is made from {_listed(wanted)}, which is not made here; the picture is only a preview of it",
            fix=_remedy(wanted),
        )
    missing = [kind for kind in product.outputs if kind not in made | PLATES]
    if "print-png" in made and missing:
        yield Finding(
            check="output-kind-not-made",
            severity="note",
            message=f"{' and '.join(missing)} of this picture is not made beside its print file",
            fix="install the optional part, pip install 'vectorprep[pdf]'",
        )
    if product.audience == "child":
        yield Finding(
            check="audience-child",
            severity="note",
            message="made for children: stricter rules apply in most places, and no claim without evidence",
            fix="ask the printer for certificates and take qualified advice",
        )
    if any(output.is_mirrored for output in evidence.outputs):
        yield Finding(
            check="print-mirrored",
            severity="note",
            message="the files for the printer are mirrored, as their names say; previews are not",
            fix="tell the printer, or set mirror_done_by to printer in the product's record",
        )
    if product.mirror.startswith("before") and product.mirror_done_by == "ask_the_printer":
        yield Finding(
            check="mirror-to-be-settled",
            severity="note",
            message="this process prints mirrored; the file is not mirrored, and the record does not say who turns it over",
            fix="ask the printer and set mirror_done_by in the product's record",
        )


def _remedy(wanted: list[str]) -> str:
    words = "make that file from the recoloured drawing, or state in the product's record what the printer accepts"
    has_plates = any(KIND_OF_FORMAT.get(form) == SEPARATIONS for form in wanted)
    return f"{words}; in one ink (single_ink in the settings) the plate is made" if has_plates else words


def _listed(formats: list[str]) -> str:
    return " or ".join(formats).replace("_", " ")
