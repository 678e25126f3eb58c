"""One drawing measured in this very process, for programs that trust it.

Comes in: bytes or a path. Goes out: a `Measurement`. Never done here: isolation; use `measure_artworks` for what you do not trust.
"""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from vectorprep.engine import open_engine
from vectorprep.errors import UsageError
from vectorprep.fonts import load_index
from vectorprep.measure import measure
from vectorprep.model import Measurement
from vectorprep.pipeline.options import RunOptions
from vectorprep.plan import slug_from_name
from vectorprep.read import read_artwork
from vectorprep.store import read_source, scan

SOURCE_BYTES_MAX = 20_000_000  # house value, as in a run


def measured_alone(source: bytes | str | os.PathLike[str], options: RunOptions) -> Measurement:
    """The measurement of one drawing.

    Raises:
        ArtworkRefused: it cannot be read safely.
        UsageError: no such file.
    """
    if isinstance(source, (bytes, bytearray, memoryview)):
        data, name, path = bytes(source), "artwork", ""
    else:
        found = scan([os.fspath(source)]).sources
        if len(found) != 1:
            raise UsageError(f"{os.fspath(source)} is not one drawing", fix="name one .svg or .svgz file", code="not-one-drawing")
        data = read_source(found[0], SOURCE_BYTES_MAX)
        name, path = found[0].name, found[0].path
    fonts = load_index(options.fonts)
    artwork = read_artwork(data, name=name, path=path, slug=slug_from_name(Path(name).name), fonts=fonts)
    assert artwork.sha256 == hashlib.sha256(data).hexdigest()
    return measure(artwork, open_engine(options.engine, font_files=fonts.files))
