"""Names of engines and what stands of them in the manifest, found without loading what they draw with.

Comes in: a name or None. Goes out: the name of the engine that will draw, its version.
Never done here: drawing.
"""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec

from vectorprep.errors import PartMissing, UsageError

BASE = "resvg-py"
QUICK_MODULES = {"svg2png-py": "svg2png_py", "resvg": "resvg"}
"""Engines quicker than the base, the quickest first, with the module that each needs."""
_OTHERS = ("cairosvg", "librsvg")
_DISTRIBUTIONS = {"librsvg": "pyvips"}
_RESVG = "resvg 0.47"
"""The library inside the quick engines, which do not say it themselves."""


def engine_names() -> tuple[str, ...]:
    """The names that `open_engine` knows, installed or not."""
    return (*QUICK_MODULES, BASE, *_OTHERS)


def chosen(name: str | None) -> str:
    """The engine of that name in its own spelling; without a name the quickest that is installed.

    Raises:
        UsageError: no engine has that name.
    """
    if name is None:
        return next((quick for quick, module in QUICK_MODULES.items() if find_spec(module) is not None), BASE)
    wanted = name.strip().lower().replace("_", "-")
    if wanted not in engine_names():
        raise UsageError(f"there is no engine '{name}'", fix=f"use one of {', '.join(engine_names())}", code="engine-unknown")
    return wanted


def own_version(name: str) -> str:
    """The version of one engine alone.

    Raises:
        PartMissing: it is not installed.
    """
    distribution = _DISTRIBUTIONS.get(name, name)
    try:
        found = version(distribution)
        if name == BASE:
            import resvg_py

            return f"{found} (resvg {resvg_py.__resvg_version__})"
    except (PackageNotFoundError, ImportError, OSError) as fault:
        raise PartMissing(
            f"engine {name} cannot be used: {fault}", fix=f"install {distribution}, or leave --engine out", code="engine-missing"
        ) from fault
    if name in QUICK_MODULES:
        return f"{found} ({_RESVG})"
    return f"{distribution} {found}" if distribution != name else found


def full_version(name: str) -> str:
    """The version of an engine with that of the base engine behind it, where there is one."""
    return f"{own_version(name)}, else {BASE} {own_version(BASE)}" if name in QUICK_MODULES else own_version(name)
