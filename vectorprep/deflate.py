"""Which deflate packs pixels: zlib-ng where it is installed, else Python's own.

Comes in: nothing. Goes out: the module, the level that suits it, the name that stands in the manifest.
Never done here: packing.
"""

from __future__ import annotations

try:
    from zlib_ng import zlib_ng as deflate

    LEVEL = 2
except ImportError:
    import zlib as deflate  # type: ignore[no-redef]

    LEVEL = 1

ENCODER = deflate.__name__.split(".")[0]

__all__ = ["ENCODER", "LEVEL", "deflate"]
