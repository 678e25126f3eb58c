"""The house values of the verdict in one table: what counts as seen, what counts as faded, when the word changes.

Comes in: nothing. Goes out: constants, each with its meaning.
All are house values tuned on pictures on a screen (pairs labelled by eye), not on cloth, unless another source is named.
Lengths are fractions of the long side of the ink box; strengths are distances in OKLab after 5 % flare (`strength.py`).
Never done here: measuring.
"""

from __future__ import annotations

GRID_PX = 256
"""Long side of the grid on which a picture is judged."""
PAD_PX = 16
"""Bare cloth around the ink on that grid."""
BLUR_PX = 0.85
"""Sigma of the eye's blur on the grid: 1 mm where the print is 30 cm long."""
CROP_ALPHA = 16
"""Coverage (of 255) from which a pixel belongs to the picture."""
INK_ALPHA = 128
"""Coverage from which a pixel is ink."""
WASH_ALPHA = 26
"""The same for pale washes, whose greater part never reaches `INK_ALPHA`."""
FLARE = 0.05
"""Stray light on the picture; WCAG 2.2 adds the same share in its contrast ratio."""
LINE = 0.135
"""Strength from which a line is seen."""
SHAPE = 0.08
"""Strength from which a solid shape is seen."""
SOLID = 0.08
"""Width from which ink is a solid shape."""
BESIDE = 0.04
"""Visible ink this near carries a faded outline."""
WEAK = 0.10
"""Share of the outline that may fade on a clear picture."""
LOST = 0.80
"""Share of outline and of area from which a picture may be lost."""
GONE = 0.08
"""Strength below which ink is as good as gone; parts weak from lost."""
