"""Products and product colours: TOML text in, `Product` and `Blank` out, and a product in plain words.

Comes in: text of profile files by name.
Goes out: checked records, the policy and limits on a blank, descriptions.
Never done here: file access; the store reads the text.
"""

from vectorprep.profiles.catalogue import Catalogue, load_blanks, load_catalogue, load_products
from vectorprep.profiles.cloth import group_of, is_light_cloth, limits_for, policy_for
from vectorprep.profiles.words import describe, list_lines

__all__ = [
    "Catalogue",
    "describe",
    "group_of",
    "is_light_cloth",
    "limits_for",
    "list_lines",
    "load_blanks",
    "load_catalogue",
    "load_products",
    "policy_for",
]
