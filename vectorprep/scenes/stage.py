"""A picture made ready for many artworks: everything that does not depend on the artwork.

Comes in: a `Scene`, a `View`, an engine. Goes out: a `Stage`, whose backgrounds by blank and samplers by product are made once.
Never done here: the print on it (`compose`), files.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image

from vectorprep.colour import rgb_from_hex
from vectorprep.colour.arrays import linear_from_srgb8, luminance
from vectorprep.scenes.cloth import on_cloth
from vectorprep.scenes.layers import front_mask, layers_of
from vectorprep.scenes.light import FLOOR, Light, cloth_colour, fold_shift, light_of
from vectorprep.scenes.photograph import srgb_pixels
from vectorprep.scenes.placed_photograph import placed
from vectorprep.scenes.sampling import Sampler, sampler_of
from vectorprep.scenes.surface import surface_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.engine import Engine
    from vectorprep.model import Area, Blank, Product, Scene
    from vectorprep.model.result import PxBox
    from vectorprep.scenes.surface import Surface
    from vectorprep.scenes.view import View

    Bytes = NDArray[np.uint8]
    Floats = NDArray[np.floating[Any]]

NEUTRAL = 128.0
COARSE = 4
"""Px of the picture for one of the plane in which folds are looked for; they are far softer than that."""


@dataclass(slots=True, eq=False)
class Stage:
    """One picture of one view. `black` and `share` are the drawing (or the photograph) below the print, see `cloth`.

    `shift` is in coarse px, see `_full`. `shade` and `front` are premultiplied RGBA laid over the print, `front_share` how much of
    `front` is cloth.
    """

    scene: Scene
    view: View
    black: Bytes
    share: Bytes | None
    shade: Bytes | None = None
    front: Bytes | None = None
    front_share: Bytes | None = None
    shift: tuple[Floats, Floats] | None = None
    front_mask: Bytes | None = None
    whole_white: float = 1.0
    colour_words: str = ""
    _samplers: dict[tuple[object, ...], Sampler] = field(default_factory=dict)
    _lights: dict[tuple[object, ...], Light] = field(default_factory=dict)

    @property
    def is_photograph(self) -> bool:
        """Whether the ink takes its light from a photograph."""
        return self.scene.photograph is not None

    @property
    def size(self) -> int:
        """Bytes that it holds."""
        arrays: list[NDArray[Any] | None] = [
            self.black,
            self.share,
            self.shade,
            self.front,
            self.front_share,
            self.front_mask,
            *(self.shift or ()),
        ]
        lights: int = sum(light.factor.nbytes + light.sheen.nbytes for light in self._lights.values())
        samplers = sum(sampler.size for sampler in self._samplers.values())
        return sum(int(array.nbytes) for array in arrays if array is not None) + lights + samplers

    def below(self, blank: Blank, box: PxBox | None = None) -> Bytes:
        """What lies below print and shade, height x width x 3, cloth in the blank's colour: the whole or a part; a new array."""
        x0, y0, x1, y1 = box or (0, 0, *self.view.size_px)
        black = self.black[y0:y1, x0:x1]
        return black.copy() if self.share is None else on_cloth(black, self.share[y0:y1, x0:x1], blank, (x0, y0))

    def over(self, blank: Blank, box: PxBox) -> Iterator[Bytes]:
        """What is laid over the print in a part of the picture, in order, premultiplied RGBA."""
        x0, y0, x1, y1 = box
        if self.shade is not None:
            yield self.shade[y0:y1, x0:x1]
        if self.front is not None:
            front = self.front[y0:y1, x0:x1]
            if self.front_share is None:
                yield front
            else:
                dyed = on_cloth(np.ascontiguousarray(front[..., :3]), self.front_share[y0:y1, x0:x1], blank, (x0, y0))
                yield np.concatenate([dyed, front[..., 3:]], axis=-1)

    def surface(self, product: Product, area: Area) -> Surface:
        """The area's surface for a product."""
        return surface_of(area, self.scene.record, wrap_deg=wrap_deg(product), narrowing=narrowing(product))

    def sampler(self, product: Product, area: Area) -> Sampler:
        """The sampler of an area for a product, made once."""
        key = (area, product.area_size_mm, wrap_deg(product), narrowing(product))
        if key not in self._samplers:
            shift = None if self.shift is None else _full(self.shift, self.view.size_px)
            self._samplers[key] = sampler_of(self.surface(product, area), self.view, product.area_size_mm, shift)
        return self._samplers[key]

    def light(self, sampler: Sampler, blank: Blank) -> Light:
        """The light on a sampler's box of a photograph, made once for a blank."""
        key = (id(sampler), blank.colour)
        if key not in self._lights:
            x0, y0, x1, y1 = sampler.box_px
            self._lights[key] = light_of(
                self.black[y0:y1, x0:x1],
                self.printable(sampler),
                blank_colour=blank.colour,
                share=self.scene.record.shading,
                whole_white=self.whole_white,
            )
        return self._lights[key]

    def printable(self, sampler: Sampler) -> NDArray[np.bool_]:
        """Which pixels of a sampler's box show the area, with nothing before it."""
        x0, y0, x1, y1 = sampler.box_px
        inside = np.zeros((y1 - y0) * (x1 - x0), bool)
        for places, _ in sampler.groups:
            inside[places] = True
        found: NDArray[np.bool_] = inside.reshape(y1 - y0, x1 - x0)
        if self.front_mask is not None:
            found &= self.front_mask[y0:y1, x0:x1] < 128
        return found

    def cloth(self, sampler: Sampler) -> tuple[float, float, float]:
        """Linear colour of a photograph's cloth in the area."""
        x0, y0, x1, y1 = sampler.box_px
        return cloth_colour(self.black[y0:y1, x0:x1], self.printable(sampler))


def wrap_deg(product: Product) -> float | None:
    """The angle that a product's print area takes on its own cylinder (a cup's upper edge), None for one that is none."""
    if product.taper is not None and product.is_bent:
        return 360 * narrowing(product)
    if product.outer_diameter_mm is None:
        return None
    return product.print_area_mm[0] / (np.pi * product.outer_diameter_mm) * 360


def narrowing(product: Product) -> float:
    """How wide a tapered cup is at the lower edge of its wrap for its upper edge; 1 for everything else."""
    taper = product.taper
    return taper.bottom_diameter_mm / taper.top_diameter_mm if taper is not None and product.is_bent else 1.0


def stage_of(scene: Scene, view: View, engine: Engine, *, background: str = "") -> Stage:
    """The stage of a scene.

    Args:
        scene: the picture.
        view: what is shown of it.
        engine: from `open_engine`.
        background: `#rrggbb` in the place of a drawing's own backdrop; empty keeps it, on white.

    Raises:
        SceneRefused: the photograph cannot be used.
        ArtworkFailed: the engine gives no picture.
    """
    return _photographed(scene, view, engine) if scene.photograph is not None else _drawn(scene, view, engine, background)


def _drawn(scene: Scene, view: View, engine: Engine, background: str) -> Stage:
    layers = layers_of(scene, engine, view, has_backdrop=not background)
    black = _flat(layers.black, background or "#ffffff")
    has_cloth = layers.white is not layers.black
    share = _share(layers.black, layers.white) if has_cloth else None
    front, front_share = layers.front_black, None
    if front is not None and layers.front_white is not None and layers.front_white is not front:
        front_share = _share(front, layers.front_white)
    shift = None
    if layers.shade is not None:
        depth = _depth(layers.shade[::COARSE, ::COARSE])
        shift = fold_shift(depth, strength=scene.record.folds, long_side_px=max(view.size_px) / COARSE)
    return Stage(
        scene=scene,
        view=view,
        black=black,
        share=share,
        shade=layers.shade,
        front=front,
        front_share=front_share,
        shift=shift,
    )


def _flat(pixels: Bytes, background: str) -> Bytes:
    """Premultiplied pixels laid on a plain colour."""
    clear = (255 - pixels[..., 3:].astype(np.uint16)) * np.array(rgb_from_hex(background), np.uint16)
    return pixels[..., :3] + ((clear + 127) // 255).astype(np.uint8)


def _share(black: Bytes, white: Bytes) -> Bytes:
    """How much of each pixel is cloth; the three channels say the same."""
    return np.ascontiguousarray(white[..., 1] - np.minimum(black[..., 1], white[..., 1]))


def _depth(shade: Bytes) -> Floats:
    """Logarithm of what translucent grey does to a middle tone."""
    alpha = shade[..., 3].astype(np.float32)
    value = NEUTRAL * (1 - alpha / 255) + shade[..., 1]
    result: Floats = np.log(np.maximum(value, 8.0) / NEUTRAL)
    return result


def _full(shift: tuple[Floats, Floats], size_px: tuple[int, int]) -> tuple[Floats, Floats]:
    """The shifts of every pixel of the picture."""
    across, down = (np.asarray(Image.fromarray(plane).resize(size_px, Image.Resampling.BICUBIC)) * COARSE for plane in shift)
    return across, down


def _photographed(scene: Scene, view: View, engine: Engine) -> Stage:
    assert scene.photograph is not None
    pixels = srgb_pixels(scene.photograph.data)
    rgb = placed(pixels.rgb, scene.photograph, view)
    small = np.asarray(Image.fromarray(rgb).reduce(COARSE))
    seen = luminance(linear_from_srgb8(small, single=True))
    depth = np.log((seen + FLOOR) / (float(np.median(seen)) + FLOOR))
    return Stage(
        scene=scene,
        view=view,
        black=rgb,
        share=None,
        shift=fold_shift(depth, strength=scene.record.folds, long_side_px=max(view.size_px) / COARSE),
        front_mask=front_mask(scene, engine, view),
        whole_white=float(np.percentile(seen, 99)),
        colour_words=pixels.words,
    )
