"""Proofs of an out folder: a PDF for each artwork, or one for a client.

Comes in: an out folder, which artworks and products. Goes out: PDF files, which stand in its manifest where they lie in it.
Never done here: what stands on a proof (`report`), making of print files.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from vectorprep import __version__
from vectorprep.errors import UsageError
from vectorprep.fonts import load_index
from vectorprep.pipeline.added import remember
from vectorprep.pipeline.catalogue import blank_of, open_catalogue
from vectorprep.pipeline.manifest import read_manifest, renew, require_manifest
from vectorprep.plan import title_from_name
from vectorprep.report.proof import proof_pdf
from vectorprep.report.proof_values import ProofSheet, proof_sheets
from vectorprep.run.ledger import Ledger
from vectorprep.store import OutFolder, write_file

FAMILY = "Caladea"
FOLDER = "proofs"


def write_proofs(
    folder: str | os.PathLike[str],
    *,
    artworks: Sequence[str] = (),
    products: Sequence[str] = (),
    profiles: Sequence[str] = (),
    file: str | None = None,
    paper: str = "a4",
    client: str = "",
    force: bool = False,
) -> list[str]:
    """Writes proofs of what an out folder holds and returns their paths.

    Args:
        folder: that `convert` wrote to.
        artworks: names; none = all.
        products: keys; none = all.
        profiles: folders of product records added to the built-in ones.
        file: one PDF for everything; None = one for each artwork in `proofs` in the folder.
        paper: `a4` or `letter`.
        client: who signs.
        force: files at the proofs' names that are not as they were written are replaced.

    Raises:
        UsageError: no manifest or an altered one, or nothing that fits.
        FolderError: a picture is gone, or a file cannot be written.
        FolderBusy: another run holds the folder.
    """
    require_manifest(folder)
    with OutFolder(folder, force=force) as out, Ledger(out.ledger_path) as ledger:
        record = read_manifest(out)
        by_artwork = _sheets(record, artworks, products, profiles)
        face = load_index(system=False).face(FAMILY)
        assert face is not None, "the bundled faces are part of the package"
        font = face.read()

        def pdf(sheets: Sequence[ProofSheet]) -> bytes:
            pictures = {sheet.picture: out.read(sheet.picture) for sheet in sheets if sheet.picture}
            return proof_pdf(sheets, pictures, font=font, paper=paper, client=client, version=__version__)

        if file is not None:
            write_file(file, pdf([sheet for sheets in by_artwork.values() for sheet in sheets]))
            return [file]
        shas = {output["path"]: output["sha256"] for output in record["outputs"]}
        made = []
        for slug, sheets in by_artwork.items():
            name = f"{FOLDER}/{slug}.pdf"
            data = pdf(sheets)
            pictures = [path for path in dict.fromkeys(sheet.picture for sheet in sheets) if path]
            own = name in ledger.intents() or _is_as_made(name, out, ledger)
            ledger.intend([name])
            out.write(name, data, own=own)
            entry = {
                "path": name,
                "kind": "proof-pdf",
                "made_from": [{"path": path, "sha256": shas[path]} for path in pictures],
                "sha256": hashlib.sha256(data).hexdigest(),
                "bytes": len(data),
            }
            remember(ledger, f"/{name}", "proofs", [entry])
            made.append(str(Path(folder) / name))
        renew(record, out, ledger)
    return made


def _is_as_made(name: str, folder: OutFolder, ledger: Ledger) -> bool:
    """Whether a proof is the one that was written, and none that was signed and saved in its place."""
    made, found = ledger.output(name), folder.hash(name)
    return made is not None and found is not None and made.sha256 == found[0]


def _sheets(
    record: dict[str, Any], artworks: Sequence[str], products: Sequence[str], profiles: Sequence[str]
) -> dict[str, list[ProofSheet]]:
    """Sheets by the slug of their artwork."""
    catalogue = open_catalogue(profiles)
    blanks = {pair["blank"]: blank_of(catalogue.blanks, pair["blank"]) for pair in record["pairs"]}
    found: dict[str, list[ProofSheet]] = {}
    for artwork in record["artworks"]:
        name = artwork["name"]
        if artworks and name not in artworks:
            continue
        outputs = [
            output
            for output in record["outputs"]
            if output["artwork"] == name and (not products or output["product"] in products) and output["blanks"]
        ]
        titles = {name: artwork["title"] or title_from_name(name.rpartition("/")[2])}
        sheets = proof_sheets({**record, "outputs": outputs}, catalogue.products, blanks, titles)
        if sheets:
            found[artwork["slug"]] = sheets
    if not found:
        names = ", ".join(artwork["name"] for artwork in record["artworks"])
        raise UsageError("there is no print file to prove", fix=f"the folder holds {names}", code="nothing-to-prove")
    return found
