"""What a picture says in words: for those who do not see it, and for the seller.

Comes in: a `SceneRecord`, a product, a blank, the artwork's title. Goes out: alt text.
Never done here: pictures.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vectorprep.model import Blank, Product, SceneRecord


def alt_text(record: SceneRecord, product: Product, blank: Blank, title: str) -> str:
    """One sentence: drawing or photograph, the product in its colour, the view, the design.

    `Drawing of a navy t-shirt, front, with the design "Fox".`
    """
    kind = "Drawing" if record.kind == "drawing" else "Photograph"
    noun = record.title or product.product_noun
    colour = "" if blank.key.startswith("#") or blank.name.lower() in noun.lower() else f"{blank.name.lower()} "
    thing = f"{colour}{noun}"
    view = f", {record.view}," if record.view else ""
    return f'{kind} of {_article(thing)} {thing}{view} with the design "{title}".'


def _article(words: str) -> str:
    return "an" if words[:1].lower() in set("aeiou") else "a"
