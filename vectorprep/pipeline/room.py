"""Room for one more print picture in a worker.

Comes in and goes out: nothing; it changes the running process. Never done here: limits, which the worker sets itself.
"""

from __future__ import annotations

from vectorprep.engine.memory import give_back
from vectorprep.run.resident import resident_mb

KEPT_MB = 270
"""What a worker may hold before free buffers are handed back (house value: what the largest pictures of shirts come to)."""


def make_room() -> None:
    """Hands free buffers back where the worker holds very much."""
    if resident_mb() > KEPT_MB:
        give_back()
