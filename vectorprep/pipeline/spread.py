"""What checks say of each picture of one product, told of the blanks that it is true for.

Comes in: the blanks of each picture with its findings. Goes out: findings; one that is true for every picture stays a finding
of the product, one that is true for some becomes a finding of each of their blanks. Never done here: judging.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from vectorprep.model import Finding


def spread(found: Sequence[tuple[tuple[str, ...], Sequence[Finding]]]) -> list[Finding]:
    """Findings of a product from those of its pictures.

    Args:
        found: for each picture the keys of its blanks and its findings; a finding without a blank is of the whole picture.
    """
    shared = [finding for finding in found[0][1] if not finding.blank and all(finding in others for _, others in found[1:])]
    findings = list(shared)
    for blanks, own in found:
        for finding in own:
            if finding in shared:
                continue
            findings += [finding] if finding.blank else [replace(finding, blank=blank) for blank in blanks]
    return findings
