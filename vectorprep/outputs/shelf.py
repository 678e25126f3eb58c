"""The modules of this folder that make an output, by kind.

Comes in: the name of a kind and a `Picture`.
Goes out: its `Encoded` outputs.
Never done here: making one.
"""

from __future__ import annotations

import pkgutil
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Protocol, cast

import vectorprep.outputs

if TYPE_CHECKING:
    from vectorprep.model import Encoded
    from vectorprep.outputs.picture import Picture


class _Maker(Protocol):
    KIND: str

    def make(self, picture: Picture) -> tuple[Encoded, ...]: ...


@cache
def _makers() -> dict[str, _Maker]:
    names = sorted(module.name for module in pkgutil.iter_modules(vectorprep.outputs.__path__) if not module.name.startswith("_"))
    modules = [import_module(f"vectorprep.outputs.{name}") for name in names]
    return {module.KIND: cast("_Maker", module) for module in modules if hasattr(module, "KIND")}


def kinds() -> tuple[str, ...]:
    """Every kind of output that can be made."""
    return tuple(_makers())


def make(kind: str, picture: Picture) -> tuple[Encoded, ...]:
    """The outputs of one kind; none where the kind is not for this picture.

    Raises:
        KeyError: there is no such kind.
        ArtworkFailed: an engine gives no picture, or the bytes made do not read back as they should.
    """
    return _makers()[kind].make(picture)
