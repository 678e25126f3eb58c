"""What a drawing really holds: the box of its ink, and its inks.

Comes in: an `Artwork` and an engine.
Goes out: a `Measurement`.
Never done here: placing, recolouring, judging; files.
"""

from vectorprep.measure.inks import list_inks
from vectorprep.measure.measurement import measure

__all__ = ["list_inks", "measure"]
