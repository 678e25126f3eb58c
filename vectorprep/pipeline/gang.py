"""`gang`: print files of an out folder laid together on film, and put into that folder.

Comes in: an out folder, which print files, how often, the film. Goes out: PNG sheets, a PDF, a list of what lies where.
Never done here: the laying (`sheets`), making of print files.
"""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from vectorprep import __version__, png
from vectorprep.errors import FolderError, PartMissing, UsageError
from vectorprep.model import Finding
from vectorprep.pipeline.added import remember
from vectorprep.pipeline.catalogue import blank_of, open_catalogue, product_of
from vectorprep.pipeline.gang_wishes import GangWishes, require_sound
from vectorprep.pipeline.manifest import MEND, read_manifest, renew, require_manifest
from vectorprep.run.ledger import Ledger
from vectorprep.settings.gang import COPIES
from vectorprep.sheets.layout import Film, Item, Sheet, rows_length_mm, sheets_of, takes
from vectorprep.sheets.pdf import Page, pdf_parts
from vectorprep.sheets.pixels import bands, stamps_of
from vectorprep.store import OutFolder
from vectorprep.units import mm_from_px, size_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

    from vectorprep.model.result import PxBox

FOLDER = "gang"
PROCESS = "dtf"
MOST_PICTURES = COPIES[1]
COLUMNS = (
    "number", "artwork", "product", "blanks", "treatment", "print_file",
    "sheet", "left_mm", "top_mm", "width_mm", "height_mm", "turned",
)  # fmt: skip
Record = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Source:
    """A print file that is laid: its number on the list, its record, the part of it that holds ink, how often."""

    number: int
    output: Record
    box: PxBox
    slug: str
    copies: int

    @property
    def size_px(self) -> tuple[int, int]:
        return self.box[2] - self.box[0], self.box[3] - self.box[1]


def write_gang(folder: str | os.PathLike[str], wishes: GangWishes) -> tuple[list[Record], list[Finding]]:
    """Lays print files together and writes the sheets; returns their records, and what could not be laid.

    Where the wishes are for a plan nothing is written, and the records say so.

    Raises:
        PartMissing: the extra `gang` is not installed.
        UsageError: no manifest, wishes that cannot be met, or nothing to lay.
        FolderError: files were altered or are in the way, or a step on the disk fails.
        FolderBusy: another run holds the folder.
    """
    if find_spec("rectpack") is None:
        raise PartMissing("what lays prints together is not installed", fix="pip install 'vectorprep[gang]'", code="gang-missing")
    require_manifest(folder)
    require_sound(wishes)
    with OutFolder(folder, force=wishes.force) as out, Ledger(out.ledger_path) as ledger:
        manifest = read_manifest(out)
        chosen = _chosen(manifest, wishes)
        ppi = _only_ppi(chosen)
        _require_unturned(chosen, wishes)
        _require_as_made(chosen, out)
        film = Film(
            width_mm=wishes.film_width_mm,
            length_max_mm=wishes.length_max_mm,
            gap_mm=wishes.gap_mm,
            margin_mm=wishes.margin_mm,
            ppi=ppi,
            may_turn=wishes.may_turn,
            has_labels=wishes.has_labels,
        )
        sources = _sources(manifest, chosen, wishes, out)
        laid = [source for source in sources if takes(Item(number=source.number, size_px=source.size_px), film)]
        findings = [_too_large(source, film) for source in sources if source not in laid]
        if not laid:
            raise UsageError("nothing fits on the film", fix=findings[0].fix, code="too-large-for-film")
        if wishes.is_dry:
            return _planned(laid, film, wishes), findings
        return _written(laid, film, wishes, out=out, ledger=ledger, manifest=manifest), findings


def _chosen(manifest: Record, wishes: GangWishes) -> list[Record]:
    """The print files that are wanted, each distinct picture once, in the manifest's order."""
    catalogue = open_catalogue(wishes.profiles)
    films = {key for key, product in catalogue.products.items() if product.process == PROCESS}
    products = {product_of(catalogue, key).key for key in wishes.products} or films
    cut = [key for key in wishes.products if catalogue.products[key].cut is not None]
    if cut:
        raise UsageError(
            f"{cut[0]} has a cut line, and gang sheets hold ink alone", fix="use a product that is a sheet", code="gang-mixed"
        )
    blanks = {blank_of(catalogue.blanks, blank).key for blank in wishes.blanks}
    names = {artwork["name"] for artwork in manifest["artworks"]}
    for name in (*wishes.artworks, *wishes.counts):
        if name not in names:
            raise UsageError(
                f"there is no artwork '{name}'", fix=f"the folder holds {', '.join(sorted(names))}", code="unknown-artwork"
            )
    found: dict[tuple[str, str], Record] = {}
    for output in manifest["outputs"]:
        is_wanted = output["kind"] == "print-png" and output["product"] in products
        is_wanted = is_wanted and (not wishes.artworks or output["artwork"] in wishes.artworks)
        if is_wanted and (not blanks or blanks & set(output["blanks"])):
            found.setdefault((output["product"], output["sha256"]), output)
    if not found:
        held = sorted({output["product"] for output in manifest["outputs"] if output["kind"] == "print-png"})
        raise UsageError(
            "there is no print file to lay",
            fix=f"the folder holds print files of {', '.join(held) or 'no product'}",
            code="nothing-to-lay",
        )
    return list(found.values())


def _only_ppi(chosen: Sequence[Record]) -> float:
    """The resolution of them all.

    Raises:
        UsageError: they differ, or some are mirrored and others not.
    """
    for key, words in (("ppi", "resolutions"), ("mirrored", "ways round")):
        groups: dict[Any, set[str]] = {}
        for output in chosen:
            groups.setdefault(output.get(key, False), set()).add(output["product"])
        if len(groups) > 1:
            listed = "; ".join(f"{value}: {', '.join(sorted(products))}" for value, products in groups.items())
            raise UsageError(f"print files of different {words} ({listed})", fix="choose with --product", code="gang-mixed")
    return float(chosen[0]["ppi"])


def _require_unturned(chosen: Sequence[Record], wishes: GangWishes) -> None:
    turned = [output["path"] for output in chosen if output.get("mirrored")]
    if turned and wishes.mirror:
        raise UsageError(
            f"{turned[0]} is mirrored already, and would be turned back",
            fix="take mirror out of [gang], or set mirror_done_by to printer in the product's record",
            code="gang-mixed",
        )


def _require_as_made(chosen: Sequence[Record], folder: OutFolder) -> None:
    hashes = folder.hash_all([output["path"] for output in chosen])
    altered = [output["path"] for output in chosen if (hashes[output["path"]] or ("", 0))[0] != output["sha256"]]
    if altered:
        raise FolderError(f"{altered[0]} and {len(altered) - 1} more are not as they were made", fix=MEND, code="file-altered")


def _sources(manifest: Record, chosen: Sequence[Record], wishes: GangWishes, folder: OutFolder) -> list[_Source]:
    slugs = {artwork["name"]: artwork["slug"] for artwork in manifest["artworks"]}
    sources: list[_Source] = []
    for output in chosen:
        copies = wishes.counts.get(output["artwork"], wishes.copies)
        if copies:
            box = _ink_box(output, folder)
            sources.append(_Source(number=len(sources) + 1, output=output, box=box, slug=slugs[output["artwork"]], copies=copies))
    total = sum(source.copies for source in sources)
    if not 1 <= total <= MOST_PICTURES:
        raise UsageError(f"{total} pictures are to be laid", fix=f"ask for 1 to {MOST_PICTURES}", code="gang-option")
    return sources


def _ink_box(output: Record, folder: OutFolder) -> PxBox:
    """What is laid of a print file: its ink, or all of it where its canvas is opaque."""
    whole = 0, 0, int(output["width_px"]), int(output["height_px"])
    box = output["ink_box_px"]
    if box is None or png.decode_window(folder.read(output["path"]), (0, 0, 1, 1))[0, 0, 3] == 255:
        return whole
    x0, y0, x1, y1 = (int(edge) for edge in box)
    return max(x0, 0), max(y0, 0), min(x1, whole[2]), min(y1, whole[3])


def _too_large(source: _Source, film: Film) -> Finding:
    size = [mm_from_px(side, film.ppi) for side in source.size_px]
    room = film.width_mm - 2 * mm_from_px(film.margin_px, film.ppi), film.length_max_mm - 2 * mm_from_px(film.margin_px, film.ppi)
    return Finding(
        check="too-large-for-film",
        severity="error",
        artwork=source.output["artwork"],
        product=source.output["product"],
        message=f"its ink is {size_words(*size)}, the film has room for {size_words(*room)}",
        fix="use a wider film, a longer sheet or a smaller margin" + ("" if film.may_turn else ", or allow turning"),
    )


def _written(
    sources: Sequence[_Source], film: Film, wishes: GangWishes, *, out: OutFolder, ledger: Ledger, manifest: Record
) -> list[Record]:
    """Writes all files of the sheets, then the manifest; files of the same name that are not needed any more go."""
    by_number = {source.number: source for source in sources}
    items = [Item(number=source.number, size_px=source.size_px) for source in sources for _ in range(source.copies)]
    sheets = sheets_of(items, film)
    key = f"/{FOLDER}/{wishes.name}"
    before = ledger.job(key)
    stem = _stem(wishes)
    names = [f"{stem}-{at + 1}.png" for at in range(len(sheets))]
    names += [f"{stem}.pdf"] * wishes.has_pdf + [f"{stem}.csv"]
    foreign = () if out.force else out.foreign(names, ledger.owns)
    if foreign:
        raise FolderError(
            f"{foreign[0]}: a file that vectorprep did not make is in the way",
            fix="move it away, choose another --name, or replace it with --force",
            code="foreign-file",
        )
    ledger.intend(names)

    def pixels_of(number: int) -> NDArray[np.uint8]:
        source = by_number[number]
        pixels = png.decode_window(out.read(source.output["path"]), source.box)
        return pixels[:, ::-1] if wishes.mirror else pixels

    def words_of(number: int) -> Sequence[str]:
        source = by_number[number]
        sizes = " x ".join(f"{mm_from_px(side, film.ppi):.0f}" for side in source.size_px)
        return f"{number}  {source.slug}  {sizes} mm  {source.output['product']}", f"{number}  {source.slug}", str(number)

    text = (
        ("Software", f"vectorprep {__version__}"),
        *((("vectorprep-mirrored", "yes"),) if wishes.mirror or sources[0].output.get("mirrored") else ()),
    )
    entries = []
    for at, sheet in enumerate(sheets):
        parts = png.encode_rows(bands(sheet, film, pixels_of, words_of), sheet.size_px, ppi=film.ppi, text=text)
        entries.append(
            _sheet_record(names[at], "gang-sheet-png", [sheet], film, by_number, is_mirrored=wishes.mirror)
            | _put(out, ledger, names[at], parts)
        )
    if wishes.has_pdf:
        pages = (Page(size_mm=_size_mm(sheet, film), pictures=_on_page(sheet, film, pixels_of, words_of)) for sheet in sheets)
        parts = pdf_parts(pages, title=wishes.name, creator=f"vectorprep {__version__}")
        entries.append(
            _sheet_record(f"{stem}.pdf", "gang-sheet-pdf", sheets, film, by_number, is_mirrored=wishes.mirror)
            | _put(out, ledger, f"{stem}.pdf", parts)
        )
    listed = _list(sheets, film, by_number)
    entries.append({"path": f"{stem}.csv", "kind": "gang-sheet-list"} | _put(out, ledger, f"{stem}.csv", [listed]))
    entries[0]["rows_length_mm"] = round(rows_length_mm(items, film), 1)
    remember(ledger, key, "sheets", entries)
    if before is not None:
        out.remove_stale({made.path: made.sha256 for made in before.outputs if made.path not in names})
    renew(manifest, out, ledger)
    return entries


def _stem(wishes: GangWishes) -> str:
    """What the names of a run's files begin with; those of mirrored prints say so."""
    return f"{FOLDER}/{wishes.name}" + "--mirrored" * wishes.mirror


def _planned(sources: Sequence[_Source], film: Film, wishes: GangWishes) -> list[Record]:
    """The records of sheets as they would be, and of what would lie on them."""
    by_number = {source.number: source for source in sources}
    items = [Item(number=source.number, size_px=source.size_px) for source in sources for _ in range(source.copies)]
    entries = [
        _sheet_record(f"{_stem(wishes)}-{at + 1}.png", "gang-sheet-png", [sheet], film, by_number, is_mirrored=wishes.mirror)
        | {"state": "planned"}
        for at, sheet in enumerate(sheets_of(items, film))
    ]
    entries[0]["rows_length_mm"] = round(rows_length_mm(items, film), 1)
    entries[0]["prints"] = [
        {
            "artwork": source.output["artwork"],
            "product": source.output["product"],
            "treatment": source.output["treatment"],
            "copies": source.copies,
            "ink_mm": [round(mm_from_px(side, film.ppi), 2) for side in source.size_px],
        }
        for source in sources
    ]
    return entries


def _put(out: OutFolder, ledger: Ledger, name: str, parts: Any) -> Record:
    sha256, length = out.write_parts(name, parts, own=ledger.owns(name))
    return {"sha256": sha256, "bytes": length}


def _on_page(sheet: Sheet, film: Film, pixels_of: Any, words_of: Any) -> Iterator[tuple[tuple[float, float, float, float], Any]]:
    for laid in sheet.laid:
        for x, y, pixels in stamps_of(laid, film, pixels_of, words_of):
            sides = (mm_from_px(side, film.ppi) for side in (x, y, pixels.shape[1], pixels.shape[0]))
            left, top, width, height = sides
            yield (left, top, width, height), pixels


def _size_mm(sheet: Sheet, film: Film) -> tuple[float, float]:
    return mm_from_px(sheet.size_px[0], film.ppi), mm_from_px(sheet.size_px[1], film.ppi)


def _sheet_record(
    path: str, kind: str, sheets: Sequence[Sheet], film: Film, by_number: Mapping[int, _Source], *, is_mirrored: bool = False
) -> Record:
    numbers = sorted({laid.number for sheet in sheets for laid in sheet.laid})
    outputs = [by_number[number].output for number in numbers]
    area = sum(sheet.size_px[0] * sheet.size_px[1] for sheet in sheets)
    filled = sum(sheet.fill_share * sheet.size_px[0] * sheet.size_px[1] for sheet in sheets)
    return {
        "path": path,
        "kind": kind,
        "width_px": film.width_px,
        "height_px": sum(sheet.size_px[1] for sheet in sheets),
        "pages": len(sheets),
        "ppi": film.ppi,
        "film_width_mm": round(film.width_mm, 3),
        "used_length_mm": round(sum(_size_mm(sheet, film)[1] for sheet in sheets), 3),
        "gap_mm": film.gap_mm,
        "mirrored": is_mirrored or bool(outputs[0].get("mirrored")),
        "fill_share": round(filled / area, 4),
        "pictures": sum(len(sheet.laid) for sheet in sheets),
        "made_from": [{"path": output["path"], "sha256": output["sha256"]} for output in outputs],
    }


def _list(sheets: Sequence[Sheet], film: Film, by_number: Mapping[int, _Source]) -> bytes:
    """What lies where, one row a picture."""
    rows = io.StringIO()
    writer = csv.writer(rows, lineterminator="\n")
    writer.writerow(COLUMNS)
    for at, sheet in enumerate(sheets):
        for laid in sheet.laid:
            output = by_number[laid.number].output
            places = [f"{mm_from_px(value, film.ppi):.2f}" for value in (laid.x, laid.y, *laid.size_px)]
            turned = "yes" if laid.is_turned else "no"
            named = [
                laid.number,
                output["artwork"],
                output["product"],
                " ".join(output["blanks"]),
                output["treatment"],
                output["path"],
            ]
            writer.writerow([*named, at + 1, *places, turned])
    return rows.getvalue().encode("utf-8", "surrogateescape")
