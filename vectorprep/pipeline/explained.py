"""All findings there are, gathered from the rooms that emit them.

Comes in: nothing. Goes out: explanations by slug. Never done here: wording.
"""

from __future__ import annotations

from vectorprep import checks
from vectorprep.model import Explanation
from vectorprep.read.explanations import EXPLANATIONS as OF_READING


def explanations() -> dict[str, Explanation]:
    """What every finding and refusal means, by slug."""
    of_reading = {
        slug: Explanation(cause=text.cause, consequence=text.consequence, remedy=text.remedy) for slug, text in OF_READING.items()
    }
    return {**of_reading, **checks.explanations()}
