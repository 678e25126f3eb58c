"""What the reader has to say of one drawing, gathered while it reads.

Comes in: slug, words, and how bad it is, as often as it happens.
Goes out: findings, one for each slug and wording, in the order first met, repeated ones counted.
Never done here: deciding that something is a refusal.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from vectorprep.model import Finding
from vectorprep.model.result import Severity
from vectorprep.read.explanations import EXPLANATIONS

_LISTED = 3  # so many examples stand in a message, the rest is a number


@dataclass(slots=True)
class Notebook:
    """Collects findings about the artwork `name`."""

    name: str
    _single: list[Finding] = field(default_factory=list)
    _grouped: dict[tuple[str, Severity, str], dict[str, int]] = field(default_factory=dict)
    _order: list[object] = field(default_factory=list)

    def add(
        self,
        slug: str,
        severity: Severity,
        message: str,
        *,
        fix: str = "",
        measured: float | str | None = None,
        limit: float | str | None = None,
        unit: str = "",
        place_mm: tuple[float, float, float, float] | None = None,
    ) -> None:
        """Keeps one finding; the same slug and message is kept once."""
        finding = Finding(
            check=slug,
            severity=severity,
            message=message,
            fix=fix or EXPLANATIONS[slug].remedy,
            artwork=self.name,
            measured=measured,
            limit=limit,
            unit=unit,
            place_mm=place_mm,
        )
        if finding not in self._single:
            self._single.append(finding)
            self._order.append(finding)

    def count(self, slug: str, severity: Severity, what: str, example: str) -> None:
        """Counts one more of a kind; the finding says `what`, how often, and the first examples."""
        key = (slug, severity, what)
        if key not in self._grouped:
            self._grouped[key] = {}
            self._order.append(key)
        examples = self._grouped[key]
        examples[example] = examples.get(example, 0) + 1

    def findings(self) -> tuple[Finding, ...]:
        """All findings so far, in the order first met."""
        made = [item if isinstance(item, Finding) else self._group(item) for item in self._order]
        return tuple(made)

    def _group(self, key: object) -> Finding:
        assert isinstance(key, tuple)
        slug, severity, what = key
        examples = self._grouped[key]
        total = sum(examples.values())
        listed = ", ".join(text for text in list(examples)[:_LISTED] if text)
        more = ", ..." if len(examples) > _LISTED else ""
        times = f" ({total} x)" if total > 1 else ""
        where = f": {listed}{more}" if listed else ""
        return Finding(
            check=slug,
            severity=severity,
            message=f"{what}{where}{times}",
            fix=EXPLANATIONS[slug].remedy,
            artwork=self.name,
            measured=float(total),
            unit="times",
        )
