"""Values of what is printed on: blanks and products with their rules.

Keys are those of a product's TOML file. Every figure is a default that the seller can override per printer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from vectorprep.model.taper import Taper
from vectorprep.units import exact, px_from_mm

RING_SECTOR = "ring_sector"
"""Kind of print area: the side of a tapered cup laid flat; `print_area_mm` is the box around it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A product colour: `colour` is `#rrggbb` of the cloth or material, approximate unless `source` says measured."""

    key: str
    name: str
    colour: str
    texture: Literal["smooth", "heather"] = "smooth"
    source: str = "guessed"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpticalShift:
    """Optional optical centring: weight of the centroid, and the cap as a fraction of the ink's width."""

    centroid_weight_fraction: float
    shift_max_fraction_of_width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOut:
    """An area of the product that takes no print, such as a camera window: corners in mm from the print area's top-left corner."""

    name: str
    corners_mm: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementRule:
    """Where the ink box goes, from a datum of the product (`top_of_ink`, `bottom_of_ink`, `centre`, `grid`)."""

    datum: str
    horizontal: str
    vertical: str
    side: str = ""
    top_offset_mm: float | None = None
    top_offset_range_mm: tuple[float, float] | None = None
    bottom_offset_mm: float | None = None
    bottom_offset_range_mm: tuple[float, float] | None = None
    horizontal_offset_mm: float | None = None
    optical_shift: OpticalShift | None = None
    optical_raise_fraction_of_free_height: float = 0.0
    face_centres_from_left_edge_mm: tuple[float, ...] = ()
    rim_clear_min_mm: float = 0.0
    base_clear_min_mm: float = 0.0
    handle_gap_mm: float = 0.0
    hem_clear_min_mm: float = 0.0
    seam_clear_min_mm: float = 0.0
    clear_below_object: str = ""
    clear_below_min_mm: float = 0.0
    keep_out_areas: tuple[str, ...] = ()
    keep_out_clear_min_mm: float = 0.0
    keep_out: tuple[KeepOut, ...] = ()
    sheet_margin_mm: float = 0.0
    gap_between_cuts_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the process can hold: least line, gap, cap height, x height, dot (mm); image resolution (ppi). None = not limited."""

    key: str
    positive_line_min_mm: float | None = None
    negative_line_min_mm: float | None = None
    cap_height_min_mm: float | None = None
    x_height_min_mm: float | None = None
    dot_diameter_min_mm: float | None = None
    image_ideal_ppi: float | None = None
    image_warn_below_ppi: float | None = None
    image_fail_below_ppi: float | None = None
    image_ideal_max_ppi: float | None = None
    """Upper end where the ideal is a range; `image_ideal_ppi` is then its lower end."""
    positive_line_min_mm_fine_mesh: float | None = None
    positive_line_min_mm_good_cutter: float | None = None
    positive_line_min_mm_solid_black: float | None = None
    negative_line_min_mm_on_white_base: float | None = None
    source: tuple[tuple[str, str], ...] = ()
    """(key, source mark); `default` for keys not listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InkPolicy:
    """How a process treats inks: its white, choke, soft alpha, recolouring, contrast floors."""

    key: str
    white_ink: str
    recolour: str
    soft_alpha: str = "allowed"
    white_means: str = ""
    choke_mm: float = 0.0
    choke_max_fraction_of_thinnest_line: float | None = None
    trap_mm: float = 0.0
    black_on_black: str = "not_applicable"
    blank_lightness_min_L_star: float | None = None
    contrast_warn_below_ratio: float = 3.0
    contrast_fail_below_ratio: float = 1.5
    interior_soft_warn_fraction_of_ink: float | None = None
    interior_soft_fail_fraction_of_ink: float | None = None
    alpha_cut_fraction: float = 0.5
    spot_inks_max_count: int | None = None
    film_layers_max_count: int | None = None
    gradients: str = "allowed"
    halftone_ruling_lpi: float | None = None
    halftone_angle_deg: float | None = None
    halftone_dot_shape: str = ""
    tone_min_fraction: float | None = None
    tone_max_fraction: float | None = None
    registration_marks: bool = False
    source: tuple[tuple[str, str], ...] = ()
    """(key, source mark); `default` for keys not listed."""

    @property
    def has_white_ink(self) -> bool:
        """Whether white artwork is printed with ink; without it white paint is bare cloth."""
        return self.white_ink != "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRule:
    """What kind of file the process wants."""

    formats: tuple[str, ...]
    bit_depth_bits_per_channel: int = 8
    write_density_tag: bool = True
    write_srgb_tag: bool = True
    png_chunks_to_drop: tuple[str, ...] = ()
    raster_is_preview_only: bool = False
    file_size_max_mb: float = 100.0
    side_max_px: int | None = None
    """The printer's limit of width and height; None = none."""
    area_max_megapixel: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRule:
    """A cutter's limits, mm; only for products that are cut."""

    kind: str = ""
    offset_outside_ink_mm: float | None = None
    inner_radius_min_mm: float | None = None
    outer_radius_min_mm: float | None = None
    fill_holes: bool = False
    hole_width_min_mm: float | None = None
    """Where holes are filled: those in the art that are at least so wide, and empty, are cut out after all; None = none."""
    gap_between_cuts_min_mm: float | None = None
    backing_margin_mm: float | None = None
    single_piece: bool = False
    spike_width_min_mm: float | None = None
    sticker_side_min_mm: float | None = None
    cuts_may_touch_or_nest: bool = False
    bleed_beyond_cut_max_mm: float | None = None
    processing_step_group: str = ""
    processing_step_type: str = ""
    closed_paths: bool = False
    expand_strokes: bool = False
    merge_overlaps: bool = False
    island_min_mm: float | None = None
    nodes_max_count: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeavyCover:
    """Above which cover a solid is too heavy, over which reference area."""

    reference_area_mm: tuple[float, float]
    cover_warn_above_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One product with everything that its print file must obey. `key` is the stem of its TOML file."""

    key: str
    name: str
    product_noun: str
    process: str
    audience: str
    substrate: str
    print_area_mm: tuple[float, float]
    print_area_kind: str
    resolution_ppi: float
    fit: str
    background: str
    mirror: str
    mirror_done_by: str
    placement: PlacementRule
    limits: Limits
    ink_policy: InkPolicy
    file: FileRule
    print_area_max_mm: tuple[float, float] | None = None
    bleed_mm: float = 0.0
    safe_margin_mm: float = 0.0
    ink_max_mm: tuple[float, float] | None = None
    trim_size_mm: tuple[float, float] | None = None
    ideal_width_mm_by_garment_size: tuple[tuple[str, float], ...] = ()
    colour_space: str = "sRGB"
    total_ink_limit_percent: float | None = None
    """Most ink that dries on this product, by a press profile; None = what the settings say."""
    limits_on_light_cloth: Limits | None = None
    ink_policy_on_light_cloth: InkPolicy | None = None
    blanks: tuple[str, ...] = ()
    """Keys of the blanks it comes in; empty = all."""
    outputs: tuple[str, ...] = ("print-png", "preview-png")
    cut: CutRule | None = None
    heavy_cover_warn: HeavyCover | None = None
    ratio_family: str = ""
    corner_radius_mm: float = 0.0
    outer_diameter_mm: float | None = None
    taper: Taper | None = None
    """A cup that is wider above than below, by its wrap."""
    taper_warn_above_deg: float = 1.0
    """From which lean on a rectangle is no wrap for it (house value)."""
    edge_match_tolerance_mm: float | None = None
    """How far what meets at the seam of a full wrap may be off; None = its edges do not meet."""
    cautions: tuple[str, ...] = ()
    source: tuple[tuple[str, str], ...] = ()
    """(dotted key, source mark); `default` for keys not listed."""
    record_sha256: str = ""
    """Of the canonical record, so that a change of any figure remakes what depends on it."""
    extra: tuple[tuple[str, str], ...] = field(default=())
    """Keys of the trade record that no room reads yet, as (dotted key, JSON text)."""

    @property
    def file_size_mm(self) -> tuple[Fraction, Fraction]:
        """Outer size of the print file: print area plus bleed on both sides, exact."""
        bleed = 2 * exact(self.bleed_mm)
        return exact(self.print_area_mm[0]) + bleed, exact(self.print_area_mm[1]) + bleed

    @property
    def file_size_px(self) -> tuple[int, int]:
        """Whole pixels of the print file at the target resolution."""
        width, height = self.file_size_mm
        return px_from_mm(width, self.resolution_ppi), px_from_mm(height, self.resolution_ppi)

    @property
    def is_bent(self) -> bool:
        """Whether the print file is a ring sector, into which the picture is bent on its way into the file."""
        return self.taper is not None and self.print_area_kind == RING_SECTOR

    @property
    def area_mm(self) -> tuple[Fraction, Fraction, Fraction, Fraction]:
        """Corners of the print area in the file, exact; on a bent product what ink may fill before it is bent.

        A bent picture is placed on a wrap as wide as its cup is round at the narrow end, so that it fits all the way down.
        """
        width, height = self.file_size_mm
        bleed = exact(self.bleed_mm)
        if self.taper is None or not self.is_bent:
            return bleed, bleed, width - bleed, height - bleed
        half = exact(math.pi * self.taper.bottom_diameter_mm / 2)
        return width / 2 - half, bleed, width / 2 + half, bleed + exact(self.taper.slant_mm)

    @property
    def area_size_mm(self) -> tuple[float, float]:
        """Width and height of `area_mm`."""
        x0, y0, x1, y1 = self.area_mm
        return float(x1 - x0), float(y1 - y0)
