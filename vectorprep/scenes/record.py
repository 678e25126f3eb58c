"""What the seller states of a picture: the metadata of its SVG, or a TOML file of the same name, or both.

Comes in: attributes of the metadata element, TOML text, the known product keys. Goes out: a `SceneRecord`, or every fault at once.
Never done here: shapes of the picture.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from vectorprep.model import SceneRecord
from vectorprep.model.scene import AreaKind
from vectorprep.records import Faults, Table, parse_table

NAMESPACE = "urn:vectorprep:scene"
ELEMENT = "{" + NAMESPACE + "}scene"
LISTS = frozenset({"products", "blanks"})
NUMBER_LISTS = frozenset({"crop_px", "angles_deg"})
NUMBERS = frozenset({"wrap_deg", "turn_deg", "px_per_mm", "folds", "shading", "order"})
AREAS = ("flat", "quad", "cylinder")
KINDS = ("drawing", "photograph")
PAGE_MAX = 20_000.0


def record_of(
    attributes: Mapping[str, str], toml: str, file: str, *, has_photograph: bool, products: Sequence[str] = ()
) -> SceneRecord:
    """The record of a picture; a key of the TOML file wins over the same key of the metadata.

    Args:
        attributes: of the metadata element `scene`.
        toml: text of the TOML file, or empty.
        file: name of the file, for messages.
        has_photograph: whether the SVG holds a photograph.
        products: known product keys; empty = not checked.

    Raises:
        RecordError: every fault.
    """
    faults = Faults()
    beside = parse_table(toml, file.rpartition(".")[0] + ".toml", faults) if toml else None
    faults.raise_if_any()
    inside = {key: _value(key, text) for key, text in attributes.items()}
    values = {**inside, **(beside.values if beside is not None else {})}
    table = beside.replaced(values) if beside is not None else Table(values, file=file, faults=faults)
    record = _read(table, has_photograph=has_photograph, products=products)
    table.finish()
    faults.raise_if_any()
    return record


def _value(key: str, text: str) -> object:
    """An attribute's text as the value that TOML would hold; what is no number stays text, so that its fault is found."""
    parts = text.replace(",", " ").split()
    if key in LISTS:
        return parts
    if key in NUMBER_LISTS:
        return [_number(part) for part in parts]
    return _number(text) if key in NUMBERS else text


def _number(text: str) -> object:
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return float(text)
    except ValueError:
        return text


def _read(table: Table, *, has_photograph: bool, products: Sequence[str]) -> SceneRecord:
    crop = table.numbers("crop_px", count=4, low=0.0, high=PAGE_MAX) if "crop_px" in table else None
    table.raw("crop_px")
    kind = table.text("kind", KINDS[has_photograph], choices=KINDS)
    if (kind == "photograph") != has_photograph:
        table.fault("kind", *_KIND_FAULTS[has_photograph])
    return SceneRecord(
        products=table.texts("products", choices=products),
        kind="photograph" if has_photograph else "drawing",
        view=table.text("view", "front", empty=False),
        title=table.text("title", ""),
        source=table.text("source", ""),
        licence=table.text("licence", ""),
        area=cast(AreaKind, table.text("area", "flat", choices=AREAS)),
        angles_deg=table.maybe_pair("angles_deg", low=-89.0, high=89.0, rising=True) or (-60.0, 60.0),
        wrap_deg=table.maybe_number("wrap_deg", low=1.0, high=360.0),
        turn_deg=table.number("turn_deg", 0.0, low=-180.0, high=180.0),
        garment_size=table.text("garment_size", ""),
        px_per_mm=table.maybe_number("px_per_mm", low=0.01, high=1000.0),
        blanks=table.texts("blanks", ()),
        ink=table.colour("ink", ""),
        folds=table.number("folds", 1.0, low=0.0, high=5.0),
        shading=table.number("shading", 1.0, low=0.0, high=2.0),
        crop_px=cast("tuple[float, float, float, float] | None", crop),
        order=table.integer("order", 0, low=-1000, high=1000),
    )


_KIND_FAULTS = {
    True: ('is "drawing", but the file holds a photograph', "take the line out, or take the photograph out of the file"),
    False: ('is "photograph", but the file holds none', "place the photograph in the drawing, or take the line out"),
}
