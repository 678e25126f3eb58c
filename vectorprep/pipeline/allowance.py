"""What one artwork may cost: time by the number of its products and blanks, memory by the largest canvas.

Comes in: products, numbers of pairings, the seller's own time limit. Goes out: limits for the workers.
Never done here: measuring cost.
"""

from __future__ import annotations

from collections.abc import Sequence

from vectorprep.model import Product

# House values. The heaviest sample, eight wide blurs, takes 9 s for its slowest product, median open drawings a tenth of a second.
STEP_S = 12.0
WALL_S = 12.0
WALL_S_PER_PRODUCT = 3.0
FEW_PRODUCTS = 4
WALL_S_PER_FURTHER = 9.0  # a drawing that is heavy on every product is one that a seller wants on all of them
S_PER_MEGAPIXEL = 0.6  # of a canvas beyond a shirt's: eight wide blurs take 40 s on 79 megapixels
MEGAPIXELS_OF_A_SHIRT = 20.0
S_PER_PAIR = 0.1
S_PER_REMEDIED = 12.0  # a product whose picture is drawn, looked at, turned into dots and looked at again
S_PER_INKED = 9.0  # a product whose picture is taken apart into inks: drawn once for every three of them, then outlined
S_PER_PDF = 6.0  # a product whose PDF shows filters as pixels of the print's resolution: one wide blur takes 4 s once more
S_PER_PICTURE = 2.5  # a photograph of 24 megapixels takes about a second to make ready, a picture on it a quarter
MEMORY_MB_OF_PICTURES = 1300
MEMORY_MB = 1150  # house value: a worker on canvases up to 24 x 36 in at 300 ppi
MEMORY_MB_BESIDE_CANVASES = 700
CANVASES_HELD = 2  # a worker holds two pictures of the size of the canvas at most
INKED_KINDS = frozenset({"paths-svg", "separation-png"})


def time_allowed(
    products: Sequence[Product], pairs: int, time_limit_s: float | None, *, pictures: int = 0, remedied: int = 0
) -> tuple[float, float]:
    """Seconds for one step of an artwork (reading and measuring it, or making one product) and for all of it.

    Args:
        products: what the artwork is made for.
        pairs: its pairings of product and blank.
        time_limit_s: the seller's own seconds for a step.
        pictures: product pictures to be made.
        remedied: products whose pixels are changed after drawing.
    """
    factor = time_limit_s / STEP_S if time_limit_s else 1.0
    inked = sum(not INKED_KINDS.isdisjoint(product.outputs) for product in products)
    with_pdf = sum("pdf" in product.outputs for product in products)
    large = [S_PER_MEGAPIXEL * max(0.0, _megapixels(product) - MEGAPIXELS_OF_A_SHIRT) for product in products]
    shared = S_PER_PAIR * pairs + S_PER_PICTURE * pictures
    step = STEP_S + shared + S_PER_REMEDIED * (remedied > 0) + S_PER_INKED * (inked > 0) + max(large, default=0.0)
    wall = WALL_S + WALL_S_PER_PRODUCT * len(products) + shared + S_PER_REMEDIED * remedied + S_PER_INKED * inked + sum(large)
    wall += (WALL_S_PER_FURTHER - WALL_S_PER_PRODUCT) * max(0, len(products) - FEW_PRODUCTS)
    return factor * (step + S_PER_PDF * (with_pdf > 0)), factor * (wall + S_PER_PDF * with_pdf)


def _megapixels(product: Product) -> float:
    width, height = product.file_size_px
    return width * height / 1e6


def memory_allowed_mb(products: Sequence[Product], *, has_pictures: bool = False) -> int:
    """Address space for a worker that makes any of the products."""
    pixels = max((width * height for width, height in (product.file_size_px for product in products)), default=0)
    least = max(MEMORY_MB, MEMORY_MB_BESIDE_CANVASES + CANVASES_HELD * pixels * 4 // 1_000_000)
    return least + MEMORY_MB_OF_PICTURES * has_pictures
