"""What of an artwork is already made: its rules as digests, and the answer from the ledger.

Comes in: a drawing's digest, the run's setup, the ledger and the out folder. Goes out: the scope to make, or the kept result.
Never done here: making, writing.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Any

from vectorprep import __version__
from vectorprep.pipeline.catalogue import blank_of
from vectorprep.pipeline.setup import Drawing, Scope, Setup
from vectorprep.run.ledger import Job as LedgerJob
from vectorprep.settings import effective

Digests = dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Digests of all that one artwork's files depend on: the drawing and the tool, and each product with its settings.

    `pictures` are those of the product pictures; empty where none are wanted.
    """

    base: str
    products: Digests
    pictures: Digests

    def hold(self, wanted: Rules) -> bool:
        """Whether what was made by these rules is what is wanted now; pictures that nobody asks for now are no reason against."""
        is_same = self.base == wanted.base and self.products == wanted.products
        return is_same and (not wanted.pictures or self.pictures == wanted.pictures)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """One artwork as the ledger has it."""

    rules: Rules
    scope: Scope
    result: dict[str, Any]
    outputs: list[dict[str, Any]]


def rules_of(setup: Setup, drawing: Drawing, *, sources: tuple[str, ...], engine: str, scope: Scope) -> Rules:
    """The rules under which an artwork would be made now.

    Args:
        setup: of the run.
        drawing: the drawing.
        sources: SHA-256 of its bytes and of those of its variants.
        engine: names and versions of rasteriser and encoder.
        scope: products and blanks.
    """
    settings = setup.settings
    common = (
        settings.preview_long_side_px,
        settings.preview_trimmed,
        setup.options.per_blank,
        setup.options.strict or settings.strict,
        setup.options.fonts,
        setup.press and (hashlib.sha256(setup.press.data).hexdigest(), setup.press.name, setup.press.total_ink_limit_percent),
        tuple(when for when, _ in drawing.variants),
        *(() if setup.has_review else ("no thumbnails",)),
    )
    base = _digest([__version__, engine, drawing.slug, drawing.source.path, sources, repr(common)])
    wish = setup.pictures
    pictures = {key: _digest(wish.rules_for(key)) for key in scope} if wish is not None else {}
    products = {key: _product_rules(setup, drawing, key, blanks) for key, blanks in scope.items()}
    return Rules(base=base, products=products, pictures=pictures)


def _product_rules(setup: Setup, drawing: Drawing, key: str, blanks: tuple[str, ...]) -> str:
    product = setup.catalogue.products[key]
    chosen = effective(setup.settings, drawing.source.name, key)
    colours = sorted(repr(blank_of(setup.catalogue.blanks, blank)) for blank in blanks)
    return _digest([product.record_sha256, repr(chosen), colours])


def _digest(parts: object) -> str:
    return hashlib.sha256(json.dumps(parts, ensure_ascii=True).encode()).hexdigest()


def remembered(job: LedgerJob | None) -> Remembered | None:
    """What the ledger has of an artwork that was made; None where it has nothing, or it was refused."""
    if job is None or job.state != "ok":
        return None
    record = json.loads(job.record)
    scope = {key: tuple(blanks) for key, blanks in record["scope"].items()}
    rules = Rules(base=record["base"], products=record["rules"], pictures=record.get("pictures", {}))
    return Remembered(rules=rules, scope=scope, result=record["result"], outputs=record["outputs"])


def to_text(rules: Rules, scope: Scope, result: dict[str, Any], outputs: list[dict[str, Any]]) -> str:
    """The ledger's text of one artwork. Keys keep their order, so that a kept result gives the same manifest as a new one."""
    record = {
        "base": rules.base,
        "rules": rules.products,
        "pictures": rules.pictures,
        "scope": scope,
        "result": result,
        "outputs": outputs,
    }
    return json.dumps(record, ensure_ascii=True)


def joined(asked: Scope, before: Scope) -> Scope:
    """Both scopes together: what was asked of the folder earlier is not dropped when less is asked now."""
    keys = list(dict.fromkeys((*before, *asked)))
    return {key: tuple(dict.fromkeys((*before.get(key, ()), *asked.get(key, ())))) for key in keys}


def covers(before: Scope, asked: Scope) -> bool:
    """Whether everything asked for is in the earlier scope."""
    return all(set(blanks) <= set(before.get(key, ())) for key, blanks in asked.items())
