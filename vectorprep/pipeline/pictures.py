"""Product pictures of one artwork on one product: every scene that shows it, on every blank asked for.

Comes in: the run's wish for pictures, a print picture, its blanks. Goes out: encoded outputs of the kind `picture`, and findings.
What a scene needs that is the same for every artwork is made once in a worker and kept while it fits.
Never done here: which artwork is printed how (`bracket`), how a picture is put together (`scenes`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from vectorprep.colour import hex_from_rgb, rgb_from_hex
from vectorprep.colour.arrays import delta_e_2000, lab, linear_from_srgb8, srgb8_from_linear
from vectorprep.errors import SceneRefused
from vectorprep.model import Encoded, Finding
from vectorprep.outputs import cut_paths
from vectorprep.outputs.picture import digest, output_of
from vectorprep.pipeline.plates import Plates
from vectorprep.pipeline.scenery import open_scene
from vectorprep.pipeline.texture import texture_of
from vectorprep.pipeline.workshop import PictureWish, PlannedScene
from vectorprep.plan import title_from_name
from vectorprep.scenes.compose import Print, bare, with_print
from vectorprep.scenes.cut import is_cut
from vectorprep.scenes.encode import EXTENSIONS, PPI, picture_bytes
from vectorprep.scenes.gather import ink_of
from vectorprep.scenes.packed import Packed, as_it_is, packed
from vectorprep.scenes.photograph import pixel_size
from vectorprep.scenes.placed_photograph import finest
from vectorprep.scenes.show import with_area
from vectorprep.scenes.stage import Stage, cut_out, stage_of
from vectorprep.scenes.view import view_of
from vectorprep.scenes.words import alt_text

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vectorprep.engine import Engine
    from vectorprep.fonts import FontIndex
    from vectorprep.model import Area, Blank, Product
    from vectorprep.outputs import Picture

KIND = "picture"
HELD_BYTES_MAX = 240_000_000  # house value: some forty scenes of 2000 px with a blank or two each
OPEN_BYTES_MAX = 60_000_000  # house value: five empty pictures of 2000 px; further ones are kept packed
UNLIKE = 25.0
"""CIEDE2000 from which a photograph's cloth is another colour than the blank (house value)."""


@dataclass
class Studio:
    """What a worker keeps for pictures: stages, and pictures without print, by what they depend on."""

    wish: PictureWish
    engine: Engine
    fonts: FontIndex

    def __post_init__(self) -> None:
        """Starts empty."""
        self._stages: dict[tuple[object, ...], tuple[Stage, Area]] = {}
        self._bare: dict[tuple[object, ...], Packed] = {}
        self._plates = Plates(self.engine)

    def pictures(
        self,
        picture: Picture,
        blanks: Sequence[Blank],
        *,
        white_ink: dict[str, bool],
        title: str,
        cut_from: Picture | None = None,
    ) -> Iterator[Encoded]:
        """Every picture of one print picture.

        Args:
            picture: as printed.
            blanks: that it is printed on.
            white_ink: by key of the blank, whether ink covers the cloth.
            title: of the artwork.
            cut_from: the picture whose files were made, where there is one: its cut is known.

        Raises:
            ArtworkFailed: an engine gives no picture.
        """
        for planned in self.wish.scenes:
            if planned.shows(picture.product.key):
                yield from self._on_scene(planned, picture, blanks, white_ink=white_ink, title=title, cut_from=cut_from or picture)

    def _on_scene(
        self,
        planned: PlannedScene,
        picture: Picture,
        blanks: Sequence[Blank],
        *,
        white_ink: dict[str, bool],
        title: str,
        cut_from: Picture,
    ) -> Iterator[Encoded]:
        chosen = [blank for blank in blanks if planned.is_for(picture.product.key, blank.key)]
        if not chosen:
            return
        try:
            stage, area = self.stage(planned, picture.product)
        except SceneRefused:  # it could be used when the run began, and that is where it is told
            return
        sampler = stage.sampler(picture.product, area)
        ink = tuple(ink_of(sampler, texture_of(picture, sampler.texture_px, self._plates)))
        cut = cut_paths(cut_from) if is_cut(stage.scene) else ()
        for blank in chosen:
            ground = picture.placement.background
            # On a printed ground the art is part of the same print: it takes the ground's place, it does not lie on it as a glaze.
            printed = Print(ink=ink, has_white_ink=white_ink[blank.key] or ground is not None)
            sheet = blank if ground is None else replace(blank, colour=ground)
            if cut:
                shaped = cut_out(
                    stage, cut, stage.surface(picture.product, area), sheet, self.engine, background=self.wish.background
                )
                pixels = with_print(shaped, sheet, sampler, printed)
            else:
                pixels = with_print(stage, sheet, sampler, printed, empty=self._empty(stage, sheet))
            if self.wish.show_area:
                pixels = with_area(pixels, stage.surface(picture.product, area), stage.view)
            yield self._encoded(stage, picture, blank, pixels, title=title)

    def stage(self, planned: PlannedScene, product: Product) -> tuple[Stage, Area]:
        """The stage of a scene for a product, and the product's area on it.

        Raises:
            SceneRefused: the file can no longer be used.
        """
        key = (planned.sha256, product.key)
        held = self._stages.get(key)
        if held is not None:
            return held
        scene = open_scene(planned.file, fonts=self.fonts)
        area = scene.area_for(product.key)
        if area is None:
            raise SceneRefused(f"it has no area for {product.key}", code="scene-no-area")
        most = finest(scene.photograph, pixel_size(scene.photograph.data)) if scene.photograph is not None else None
        view = view_of(scene, area, long_side_px=self.wish.size_px, crop=self.wish.crop, finest=most)
        twin = next(
            (stage for stage, _ in self._stages.values() if stage.scene.sha256 == scene.sha256 and stage.view == view), None
        )
        stage = twin or stage_of(scene, view, self.engine, background=self.wish.background)
        if twin is not None or self._held() + stage.size < HELD_BYTES_MAX:
            self._stages[key] = (stage, area)
        return stage, area

    def _empty(self, stage: Stage, blank: Blank) -> NDArray[np.uint8]:
        key = (stage.scene.sha256, stage.view, "" if stage.is_photograph else (blank.colour, blank.texture))
        held = self._bare.get(key)
        if held is not None:
            return held.rows()
        made = bare(stage, blank)
        is_open = sum(one.nbytes for one in self._bare.values() if one.is_open) + made.nbytes < OPEN_BYTES_MAX
        kept = as_it_is(made) if is_open else packed(made)
        if self._held() + kept.nbytes < HELD_BYTES_MAX:
            self._bare[key] = kept
        return made

    def _held(self) -> int:
        stages = {id(stage): stage.size for stage, _ in self._stages.values()}
        return sum(stages.values()) + sum(one.nbytes for one in self._bare.values())

    def _encoded(self, stage: Stage, picture: Picture, blank: Blank, pixels: NDArray[np.uint8], *, title: str) -> Encoded:
        scene, wish = stage.scene, self.wish
        alt = alt_text(scene.record, picture.product, blank, title or title_from_name(picture.artwork.name.rpartition("/")[2]))
        data = picture_bytes(pixels, wish.form, wish.quality, text=(*picture.text, ("Description", alt)))
        slug = picture.stem.split("--")[0]
        name = f"{slug}--{picture.product.key}--{scene.key}--{blank.key.lstrip('#')}.{EXTENSIONS[wish.form]}"
        height, width = pixels.shape[:2]
        output = replace(
            output_of(picture, KIND, name, (width, height), PPI),
            blanks=(blank.key,),
            alt=alt,
            sha256=digest(data),
            bytes=len(data),
            state="made",
        )
        return Encoded(output=output, data=data)


def planned_outputs(wish: PictureWish, picture: Picture, blanks: Sequence[Blank]) -> Iterator[Encoded]:
    """The pictures that would be made; their height is not known before the scene is opened, so both sides are the long one."""
    for planned in wish.scenes:
        if planned.shows(picture.product.key):
            for blank in blanks:
                if planned.is_for(picture.product.key, blank.key):
                    slug = picture.stem.split("--")[0]
                    name = f"{slug}--{picture.product.key}--{planned.file.key}--{blank.key.lstrip('#')}.{EXTENSIONS[wish.form]}"
                    output = output_of(picture, KIND, name, (wish.size_px, wish.size_px), PPI)
                    yield Encoded(output=replace(output, blanks=(blank.key,)), data=b"")


def nearest_blank(cloth: tuple[float, float, float], blanks: Sequence[Blank]) -> tuple[Blank, float]:
    """The blank whose colour is nearest to a photographed cloth, and how far it is (CIEDE2000)."""
    seen = lab(np.array(cloth))
    colours = np.array([rgb_from_hex(blank.colour) for blank in blanks], np.uint8)
    apart = delta_e_2000(seen[None, :], lab(linear_from_srgb8(colours)))
    at = int(np.argmin(apart))
    return blanks[at], float(apart[at])


def hex_of(cloth: tuple[float, float, float]) -> str:
    """`#rrggbb` of a linear colour."""
    red, green, blue = (int(code) for code in srgb8_from_linear(np.array(cloth)))
    return hex_from_rgb(red, green, blue)


def scene_finding(file: str, error: SceneRefused) -> Finding:
    """The finding of a picture that cannot be used."""
    return Finding(
        check=error.code or "scene-record", severity="error", message=f"{file}: {error.message}; it is left out", fix=error.fix
    )
