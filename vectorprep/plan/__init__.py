"""Where ink goes and what files are called: pure arithmetic on measured artwork and product records.

Comes in: a `Measurement`, a `Product`, the seller's choices; names of files.
Goes out: a `Placement`; slugs, titles, output names.
Never done here: drawing, file access, colours.
"""

from vectorprep.plan.names import (
    SlugPlan,
    artwork_names,
    assign_slugs,
    output_name,
    slug_from_name,
    title_from_name,
)
from vectorprep.plan.place import place
from vectorprep.plan.scale import PlaceOptions

__all__ = [
    "PlaceOptions",
    "SlugPlan",
    "artwork_names",
    "assign_slugs",
    "output_name",
    "place",
    "slug_from_name",
    "title_from_name",
]
