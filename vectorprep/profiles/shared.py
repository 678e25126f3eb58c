"""Limits and ink policies of the printing processes, from TOML tables.

Comes in: one table of `_limits.toml` or `_ink_policies.toml`, or the inline table of a product.
Goes out: `Limits` and `InkPolicy`.
Never done here: choosing which of them applies on which cloth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Generic, TypeVar

from vectorprep.model import InkPolicy, Limits
from vectorprep.records import Table, nearest

Shared = TypeVar("Shared", Limits, InkPolicy)

PPI_MAX = 5000.0
LINE_MAX_MM = 50.0


def read_source(table: Table) -> tuple[tuple[str, str], ...]:
    """The source marks under `source`, each for a key that the record states."""
    marks = table.table("source")
    if marks is None:
        return ()
    stated = tuple(_dotted_keys(table.values))
    for key in marks.keys():  # noqa: SIM118 - a Table is no mapping
        if key != "default" and key not in stated:
            marks.fault(key, "marks a key that this record does not state", nearest(key, stated))
    return tuple((key, marks.text(key, empty=False)) for key in marks.keys())  # noqa: SIM118


def _dotted_keys(values: Mapping[str, object], before: str = "") -> list[str]:
    keys = []
    for key, value in values.items():
        keys.append(before + key)
        if isinstance(value, dict):
            keys += _dotted_keys(value, f"{before}{key}.")
    return keys


def read_limits(table: Table, key: str) -> Limits:
    """One set of limits; a key that is absent is not limited."""

    def line(name: str) -> float | None:
        return table.maybe_number(name, low=0.0, high=LINE_MAX_MM)

    def ppi(name: str) -> float | None:
        return table.maybe_number(name, low=1.0, high=PPI_MAX)

    ideal, ideal_max = _ideal_ppi(table)
    limits = Limits(
        key=key,
        positive_line_min_mm=line("positive_line_min_mm"),
        negative_line_min_mm=line("negative_line_min_mm"),
        cap_height_min_mm=line("cap_height_min_mm"),
        x_height_min_mm=line("x_height_min_mm"),
        dot_diameter_min_mm=line("dot_diameter_min_mm"),
        image_ideal_ppi=ideal,
        image_ideal_max_ppi=ideal_max,
        image_warn_below_ppi=ppi("image_warn_below_ppi"),
        image_fail_below_ppi=ppi("image_fail_below_ppi"),
        positive_line_min_mm_fine_mesh=line("positive_line_min_mm_fine_mesh"),
        positive_line_min_mm_good_cutter=line("positive_line_min_mm_good_cutter"),
        positive_line_min_mm_solid_black=line("positive_line_min_mm_solid_black"),
        negative_line_min_mm_on_white_base=line("negative_line_min_mm_on_white_base"),
        source=read_source(table),
    )
    _check_falling(
        table, ("image_fail_below_ppi", "image_warn_below_ppi"), limits.image_fail_below_ppi, limits.image_warn_below_ppi
    )
    _check_falling(table, ("image_warn_below_ppi", "image_ideal_ppi"), limits.image_warn_below_ppi, limits.image_ideal_ppi)
    return limits


def _ideal_ppi(table: Table) -> tuple[float | None, float | None]:
    if isinstance(table.raw("image_ideal_ppi"), list):
        pair = table.maybe_pair("image_ideal_ppi", low=1.0, high=PPI_MAX, rising=True)
        return pair or (None, None)
    return table.maybe_number("image_ideal_ppi", low=1.0, high=PPI_MAX), None


def _check_falling(table: Table, keys: tuple[str, str], lower: float | None, upper: float | None) -> None:
    if lower is not None and upper is not None and lower > upper:
        table.fault(keys[0], f"is {lower:g}, above {keys[1]} = {upper:g}", f"write at most {upper:g}")


def read_policy(table: Table, key: str) -> InkPolicy:
    """One ink policy."""

    def share(name: str) -> float | None:
        return table.maybe_number(name, low=0.0, high=1.0)

    policy = InkPolicy(
        key=key,
        white_ink=table.text("white_ink", empty=False),
        recolour=table.text("recolour", empty=False),
        soft_alpha=table.text("soft_alpha", "allowed"),
        white_means=table.text("white_means", ""),
        choke_mm=table.number("choke_mm", 0.0, low=0.0, high=5.0),
        choke_max_fraction_of_thinnest_line=share("choke_max_fraction_of_thinnest_line"),
        trap_mm=table.number("trap_mm", 0.0, low=0.0, high=5.0),
        black_on_black=table.text("black_on_black", "not_applicable"),
        blank_lightness_min_L_star=table.maybe_number("blank_lightness_min_L_star", low=0.0, high=100.0),
        contrast_warn_below_ratio=table.number("contrast_warn_below_ratio", 3.0, low=1.0, high=21.0),
        contrast_fail_below_ratio=table.number("contrast_fail_below_ratio", 1.5, low=1.0, high=21.0),
        interior_soft_warn_fraction_of_ink=share("interior_soft_warn_fraction_of_ink"),
        interior_soft_fail_fraction_of_ink=share("interior_soft_fail_fraction_of_ink"),
        alpha_cut_fraction=table.number("alpha_cut_fraction", 0.5, low=0.0, high=1.0),
        spot_inks_max_count=table.maybe_integer("spot_inks_max_count", low=1, high=64),
        film_layers_max_count=table.maybe_integer("film_layers_max_count", low=1, high=64),
        gradients=table.text("gradients", "allowed"),
        halftone_ruling_lpi=table.maybe_number("halftone_ruling_lpi", low=5.0, high=300.0),
        halftone_angle_deg=table.maybe_number("halftone_angle_deg", low=0.0, high=180.0),
        halftone_dot_shape=table.text("halftone_dot_shape", ""),
        tone_min_fraction=share("tone_min_fraction"),
        tone_max_fraction=share("tone_max_fraction"),
        registration_marks=table.flag("registration_marks", default=False),
        source=read_source(table),
    )
    keys = ("contrast_fail_below_ratio", "contrast_warn_below_ratio")
    _check_falling(table, keys, policy.contrast_fail_below_ratio, policy.contrast_warn_below_ratio)
    return policy


class SharedSets(Generic[Shared]):
    """Limits or ink policies by name, with what is needed to read one that a product states itself."""

    def __init__(self, tables: Iterable[Table], read: Callable[[Table, str], Shared], what: str) -> None:
        self._raw: dict[str, Mapping[str, object]] = {}
        self._read: Callable[[Table, str], Shared] = read
        self._what = what
        self.ready: dict[str, Shared] = {}
        for table in tables:
            self._add(table)

    def _add(self, table: Table) -> None:
        for key in table.keys():  # noqa: SIM118 - a Table is no mapping
            own = table.table(key)
            if own is not None:
                full = own.over(self._raw.get(key, {}))
                self._raw[key] = full.values
                self.ready[key] = self._read(full, key)
                full.finish()

    def resolve(self, table: Table, key: str) -> Shared | None:
        """The set that a product's key names, or states as a table (`based_on` names one to start from), else None."""
        if isinstance(table.raw(key), dict):
            return self._inline(table, key)
        name = table.text(key)
        if name and name not in self.ready:
            table.fault(key, f'is "{name}", but there are no {self._what} of that name', nearest(name, tuple(self.ready)))
        return self.ready.get(name)

    def _inline(self, table: Table, key: str) -> Shared | None:
        own = table.table(key)
        if own is None:
            return None
        base = own.text("based_on", choices=tuple(self.ready)) if "based_on" in own else ""
        full = own.over(self._raw.get(base, {}))
        full.raw("based_on")
        result = self._read(full, f"{base}, changed" if base else "own")
        full.finish()
        own.know_all()
        return result
