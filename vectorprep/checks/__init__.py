"""SHELF of print checks: what a careful print technician would notice, one check per file.

Comes in: `Evidence`, the picture of one artwork on one product with the blanks it serves. Goes out: `Finding`s.
Never done here: drawing, changing, files. A check costs nothing where its inputs are absent.

A file on the shelf offers `SLUGS`, the findings it may emit with their explanations, and `check(evidence)`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from vectorprep.checks._evidence import Evidence, OnBlank
from vectorprep.checks._print import let_go
from vectorprep.model import Explanation, Finding

Check = Callable[[Evidence], Iterable[Finding]]

__all__ = ["Evidence", "OnBlank", "explanations", "run_checks"]


@cache
def _shelf() -> tuple[tuple[dict[str, Explanation], Check], ...]:
    names = sorted(module.name for module in iter_modules(__path__) if not module.name.startswith("_"))
    modules = [import_module(f"{__name__}.{name}") for name in names]
    return tuple((module.SLUGS, module.check) for module in modules)


def explanations() -> dict[str, Explanation]:
    """What every finding of the shelf means."""
    return {slug: text for slugs, _ in _shelf() for slug, text in slugs.items()}


def run_checks(evidence: Evidence) -> tuple[Finding, ...]:
    """Findings of all checks, in the order of the shelf."""
    findings = tuple(finding for _, check in _shelf() for finding in check(evidence))
    let_go(evidence)
    return findings
