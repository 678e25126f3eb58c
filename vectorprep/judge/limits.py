"""The house values of the verdict in one table: what counts as seen, what counts as faded, when the word changes.

Comes in: nothing. Goes out: constants, each with its meaning.
All are house values tuned on pictures on a screen (pairs labelled by eye), not on cloth, unless another source is named.
Lengths are fractions of the long side of the ink box; strengths are distances in OKLab after 5 % flare (`strength`).
Never done here: measuring.
"""

from __future__ import annotations

GRID_PX = 256
"""Long side of the grid on which a picture is judged."""
PAD_PX = 16
"""Bare cloth around the ink on that grid."""
CROP_ALPHA = 16
"""Coverage (of 255) from which a pixel belongs to the picture."""
INK_ALPHA = 128
"""Coverage from which a pixel is ink."""
WASH_ALPHA = 26
"""The same for pale washes, whose greater part never reaches `INK_ALPHA`."""
FLARE = 0.05
"""Stray light on the picture; WCAG 2.2 adds the same share in its contrast ratio."""
LINE = 0.135
"""Strength that a line needs to be seen."""
THIN_HUES = ((2.5, 0.6), (1.5, 0.3))
"""Weight of hue for marks up to so many mm wide in print: the eye follows fine lines and small text by lightness."""
SHAPE = 0.08
"""Strength that a solid shape needs to be seen."""
STEPS = (1.2, 1.1, 1.0, 0.9, 0.8, 0.7)
"""Multiples of the strength needed at which the picture is read; ink that passes only the lower ones fades by halves."""
SOLID = 0.08
"""Width from which ink is a solid shape."""
BODY_SHAPE = 0.065
"""Strength that a large body needs to be seen."""
BODY = 0.25
"""Width from which ink is a large body."""
BESIDE = 0.04
"""Visible ink this near carries a faded outline."""
BODIES = (0.045, 0.06, 0.08, 0.10, 0.12)
"""Half widths of visible bodies that carry a faded rim around them as far as they are themselves half wide."""
SPECK = 0.01
"""Share of the outline below which what fades is noise."""
WEAK = 0.10
"""Share of the outline that may fade on a clear picture."""
LOST = 0.80
"""Share of outline and of area from which a picture may be lost."""
GONE = 0.08
"""Strength below which ink is as good as gone; parts weak from lost."""
PENUMBRA = 0.01
"""Nearer than this to an edge that ends there lies bare cloth; an edge farther from it fades out."""
SHADOW_L = (0.3, 0.5)
"""OKLab lightness below which what fades out is a shadow: at any hue, and if it is grey."""
SHADOW_CHROMA = 0.04
"""OKLab chroma up to which it is grey."""
SHADOW_SHARE = 0.5
"""Share of the outline up to which shadows are passed over: they are not missed on dark cloth, and no drawing is all shadow."""
