"""A picture made ready for many artworks: everything that does not depend on the artwork.

Comes in: a `Scene`, a `View`, an engine. Goes out: a `Stage`, whose backgrounds by blank and samplers by product are made once.
Never done here: the print on it (`compose`), files.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from PIL import Image

from vectorprep.colour import rgb_from_hex
from vectorprep.colour.arrays import linear_from_srgb8, luminance
from vectorprep.scenes.cloth import on_cloth
from vectorprep.scenes.cut import with_cut
from vectorprep.scenes.layers import front_mask, layers_of
from vectorprep.scenes.light import FLOOR, Light, fold_shift, light_of, photographed_white
from vectorprep.scenes.packed import Packed, as_it_is, packed
from vectorprep.scenes.photograph import srgb_pixels
from vectorprep.scenes.placed_photograph import placed
from vectorprep.scenes.sampling import Sampler, sampler_of
from vectorprep.scenes.surface import surface_of

if TYPE_CHECKING:
    from collections.abc import Sequence

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

    `shift` is in px of the picture on a plane that is coarser by `COARSE`. `shade` and `front` are premultiplied and laid over the
    print: grey and coverage, or red, green, blue and coverage; `front_share` is how much of `front` is cloth.
    `unprinted` is the coverage of what takes no print: what lies beside the cloth of a drawing, or before it on a photograph.
    """

    scene: Scene
    view: View
    black: Packed
    share: Packed | None
    shade: Packed | None = None
    front: Packed | None = None
    front_share: Packed | None = None
    shift: tuple[Floats, Floats] | None = None
    unprinted: Packed | None = None
    white: tuple[float, float, float] = (1.0, 1.0, 1.0)
    """Linear colour of a photograph's whitest parts."""
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
        layers = (self.black, self.share, self.shade, self.front, self.front_share, self.unprinted)
        held: list[int] = [layer.nbytes for layer in layers if layer is not None]
        held += [plane.nbytes for plane in self.shift or ()]
        held += [light.nbytes for light in self._lights.values()]
        return sum(held) + sum(sampler.size for sampler in self._samplers.values())

    def below(self, blank: Blank, box: PxBox | None = None) -> Bytes:
        """What lies below print and shade, height x width x 3, cloth in the blank's colour: the whole or a part; a new array."""
        x0, y0, x1, y1 = box or (0, 0, *self.view.size_px)
        black = self.black.box((x0, y0, x1, y1))
        return black.copy() if self.share is None else self._dyed(black, self.share, blank, (x0, y0, x1, y1))

    def over(self, blank: Blank, box: PxBox) -> Iterator[tuple[Bytes, Bytes]]:
        """What is laid over the print in a part of the picture, in order: premultiplied colours (one channel is grey), coverage."""
        if self.shade is not None:
            yield _parted(self.shade.box(box))
        if self.front is not None:
            colours, alpha = _parted(self.front.box(box))
            if self.front_share is not None:
                full = np.broadcast_to(colours, (*alpha.shape, 3))
                colours = self._dyed(full, self.front_share, blank, box)
            yield colours, alpha

    def _dyed(self, black: Bytes, share: Packed, blank: Blank, box: PxBox) -> Bytes:
        """A part with its cloth in the blank's colour."""
        scale = self.scene.record.px_per_mm
        px_per_mm = scale * self.view.scale[0] if scale is not None else None
        return on_cloth(black, share.box(box), blank, corner=box[:2], px_per_mm=px_per_mm)

    def surface(self, product: Product, area: Area) -> Surface:
        """The area's surface for a product."""
        return surface_of(area, self.scene.record, wrap_deg=wrap_deg(product), narrowing=narrowing(product))

    def sampler(self, product: Product, area: Area) -> Sampler:
        """The sampler of an area for a product, made once."""
        key = (area, product.area_size_mm, wrap_deg(product), narrowing(product))
        if key not in self._samplers:
            self._samplers[key] = sampler_of(self.surface(product, area), self.view, product.area_size_mm, self.shift)
        return self._samplers[key]

    def light(self, sampler: Sampler, blank: Blank) -> Light:
        """The light on a sampler's box of a photograph, made once for a blank."""
        key = (id(sampler), blank.colour)
        if key not in self._lights:
            self._lights[key] = light_of(
                self.black.box(sampler.box_px),
                self.printable(sampler),
                blank_colour=blank.colour,
                share=self.scene.record.shading,
                white=np.array(self.white),
            )
        return self._lights[key]

    def printable(self, sampler: Sampler) -> NDArray[np.bool_]:
        """Which pixels of a sampler's box show the area, with nothing before it."""
        found = sampler.inside()
        if self.unprinted is not None:
            found &= self.unprinted.box(sampler.box_px) < 128
        return found


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


def cut_out(
    stage: Stage, paths: Sequence[Floats], surface: Surface, blank: Blank, engine: Engine, *, background: str = ""
) -> Stage:
    """The stage of a drawing cut along one artwork's outline, for one blank; made for one picture, so that nothing is packed.

    Args:
        stage: of the drawing with its own cut.
        paths: cubic pieces (n, 4, 2) each, in shares of the print area; one within another is an opening.
        surface: where the print area lies.
        blank: the material.
        engine: from `open_engine`.
        background: as for `stage_of`.

    Raises:
        ArtworkFailed: the engine gives no picture.
    """
    scene = with_cut(stage.scene, paths, surface)
    layers = layers_of(scene, engine, stage.view, has_backdrop=not background)
    is_dyed = blank.texture != "heather"  # the colour of heather is laid down by how much of each pixel is cloth
    below = layers.below(blank.colour if is_dyed else "#000000")
    return replace(
        stage,
        scene=scene,
        black=as_it_is(_flat(below, background or "#ffffff")),
        share=None if is_dyed else as_it_is(_share(below, layers.below("#ffffff"))),
        shade=as_it_is(_greyed(layers.shade())) if layers.has_shade else None,
        unprinted=as_it_is(np.bitwise_not(layers.outline())),
    )


def _drawn(scene: Scene, view: View, engine: Engine, background: str) -> Stage:
    layers = layers_of(scene, engine, view, has_backdrop=not background)
    below = layers.below("#000000")
    share = _share(below, layers.below("#ffffff")) if layers.has_cloth else None
    black = _flat(below, background or "#ffffff")
    del below
    unprinted = packed(np.bitwise_not(layers.outline())) if layers.has_cloth else None
    shade = layers.shade() if layers.has_shade else None
    shift = None
    if shade is not None:
        shift = _in_px(fold_shift(_depth(shade[::COARSE, ::COARSE]), strength=scene.record.folds, long_side_px=_coarse_side(view)))
    front = layers.front("#000000") if layers.has_front else None
    front_share = _share(front, layers.front("#ffffff")) if front is not None and layers.has_dyed_front else None
    return Stage(
        scene=scene,
        view=view,
        black=packed(black),
        share=packed(share) if share is not None else None,
        shade=_layer(shade) if shade is not None else None,
        front=_layer(front) if front is not None else None,
        front_share=packed(front_share) if front_share is not None and front_share.any() else None,
        shift=shift,
        unprinted=unprinted,
    )


def _layer(pixels: Bytes) -> Packed:
    """A layer's pixels packed, as grey and coverage where it is all grey."""
    return packed(_greyed(pixels))


def _greyed(pixels: Bytes) -> Bytes:
    """A layer's pixels as grey and coverage where they are all grey."""
    is_grey = bool((pixels[..., 0] == pixels[..., 1]).all() and (pixels[..., 1] == pixels[..., 2]).all())
    return pixels[..., 2:] if is_grey else pixels


def _parted(layer: Bytes) -> tuple[Bytes, Bytes]:
    """Colours and coverage of a part of a layer."""
    return layer[..., :-1], layer[..., -1]


def _coarse_side(view: View) -> float:
    """Long side of the picture in px of the plane in which folds are looked for."""
    return max(view.size_px) / COARSE


def _in_px(shift: tuple[Floats, Floats] | None) -> tuple[Floats, Floats] | None:
    """A shift in coarse px as px of the picture."""
    return None if shift is None else (shift[0] * np.float32(COARSE), shift[1] * np.float32(COARSE))


def _flat(pixels: Bytes, background: str) -> Bytes:
    """Premultiplied pixels laid on a plain colour."""
    made = np.ascontiguousarray(pixels[..., :3])
    clear = np.bitwise_not(pixels[..., 3])
    if clear.any():
        codes = np.arange(256)
        for channel, value in enumerate(rgb_from_hex(background)):
            made[..., channel] += ((codes * value + 127) // 255).astype(np.uint8)[clear]
    return made


def _share(black: Bytes, white: Bytes) -> Bytes:
    """How much of each pixel is cloth; the three channels say the same."""
    return np.ascontiguousarray(white[..., 1] - np.minimum(black[..., 1], white[..., 1]))


def _depth(shade: Bytes) -> Floats:
    """Logarithm of what translucent grey does to a middle tone."""
    alpha = shade[..., 3].astype(np.float32)
    value = NEUTRAL * (1 - alpha / 255) + shade[..., 1]
    result: Floats = np.log(np.maximum(value, 8.0) / NEUTRAL)
    return result


def _photographed(scene: Scene, view: View, engine: Engine) -> Stage:
    assert scene.photograph is not None
    pixels = srgb_pixels(scene.photograph.data)
    rgb = placed(pixels.rgb, scene.photograph, view)
    small = np.asarray(Image.fromarray(rgb).reduce(COARSE))
    seen = luminance(linear_from_srgb8(small, single=True))
    depth = np.log((seen + FLOOR) / (float(np.median(seen)) + FLOOR))
    mask = front_mask(scene, engine, view)
    red, green, blue = (float(value) for value in photographed_white(small))
    return Stage(
        scene=scene,
        view=view,
        black=packed(rgb),
        share=None,
        shift=_in_px(fold_shift(depth, strength=scene.record.folds, long_side_px=_coarse_side(view))),
        unprinted=packed(mask) if mask is not None else None,
        white=(red, green, blue),
        colour_words=pixels.words,
    )
