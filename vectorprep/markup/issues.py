"""What colour rewriting could not do exactly, as values.

Comes in: what was met, where.
Goes out: `PaintIssue`.
Never done here: deciding how much an issue matters.
"""

from __future__ import annotations

from dataclasses import dataclass

from vectorprep.markup.tree import Element, local_name


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintIssue:
    """One thing that colour rewriting met.

    `slug`: `colour-not-exact` (the result may differ from the mapping of the picture), `colour-invalid` (CSS drops the
    declaration, so did we), `picture-kept` (an embedded picture keeps its colours).
    `feature` groups them: `filter`, `blend-mode`, `nested-svg`, `linked-picture`, `photo`, `jpeg`, `broken-picture`,
    `colour-font`, `variable`, `gamut`, `system-colour`, `colour-syntax`, `foreign-object`, `invalid`.
    `element`: tag and id of the place, as a person would look for it.
    """

    slug: str
    message: str
    element: str
    feature: str


def describe(element: Element) -> str:
    """Tag and id of an element, such as `path#sun`, for messages."""
    tag = local_name(element) or str(element.tag)
    name = element.get("id")
    return f"{tag}#{name}" if name else tag
