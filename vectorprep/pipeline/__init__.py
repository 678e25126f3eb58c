"""The order of the line, and the public Python API.

Comes in: paths or bytes of drawings, an out folder, options. Goes out: a `RunReport` with the run's record and exit code.
One bad artwork never stops the others. Never done here: printing, parsing of the command line, drawing, writing by other
means than `store`.
"""

from vectorprep.pipeline.api import (
    audit_artworks,
    convert_artworks,
    measure_artwork,
    measure_artworks,
    recolour_artworks,
    verify_outputs,
)
from vectorprep.pipeline.options import Progress, RunOptions, RunReport

__all__ = [
    "Progress",
    "RunOptions",
    "RunReport",
    "audit_artworks",
    "convert_artworks",
    "measure_artwork",
    "measure_artworks",
    "recolour_artworks",
    "verify_outputs",
]
