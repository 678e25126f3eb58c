"""Names for the arrays of this room.

Comes in: nothing. Goes out: type names. Never done here: anything else.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]
Light = NDArray[np.floating[Any]]
Bytes = NDArray[np.uint8]
Labels = NDArray[np.int32]
Spots = NDArray[np.intp]
