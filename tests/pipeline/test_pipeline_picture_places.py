"""Where the dots of a drawing come to lie on a finished product picture, in perspective and round a cylinder.

The expected places come from outside: SciPy's solver for the homography of the four corners (Heckbert, "Fundamentals of Texture
Mapping and Image Warping", 1989), and the sine of the angle on a cylinder seen from afar.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from scipy.linalg import solve

from vectorprep.colour.arrays import linear_from_srgb8
from vectorprep.pipeline import RunOptions, convert_artworks
from vectorprep.plan.scale import INSET_PX
from vectorprep.profiles import load_catalogue
from vectorprep.store import builtin_profiles

ACROSS, DOWN = (20, 85, 150, 215, 280), (20, 110, 200, 290, 380)
RADIUS = 12
HEAD = '<svg xmlns="http://www.w3.org/2000/svg"'
DOTS = (
    f'{HEAD} width="300" height="400">'
    + "".join(f'<circle cx="{x}" cy="{y}" r="{RADIUS}"/>' for x in ACROSS for y in DOWN)
    + "</svg>"
)
SIDE = 1000
Points = NDArray[np.float64]


def scene(products: str, area: str, more: str = "") -> str:
    """A white sheet all over the picture, with an area."""
    stated = f'products="{products}" source="made here" licence="own work" {more}'
    return (
        f'{HEAD} width="{SIDE}" height="{SIDE}"><metadata><scene xmlns="urn:vectorprep:scene" {stated}/></metadata>'
        f'<rect id="cloth" width="{SIDE}" height="{SIDE}"/><path id="area" d="{area}"/></svg>'
    )


def pictured(folder: Path, product: str, text: str) -> tuple[Points, Points]:
    """Darkness of the picture in linear light, and the place of each dot in shares of the print area."""
    (folder / "art").mkdir()
    (folder / "art" / "dots.svg").write_text(DOTS, encoding="utf-8")
    (folder / "scenes").mkdir()
    (folder / "scenes" / "view.svg").write_text(text, encoding="utf-8")
    (folder / "vectorprep.toml").write_text(f'[pictures]\nsize_px = {SIDE}\nformat = "png"\n', encoding="utf-8")
    options = RunOptions(products=(product,), blanks=("white",), jobs=1, pictures=(str(folder / "scenes"),))
    outputs = convert_artworks([folder / "art"], folder / "out", options=options).record["outputs"]
    print_file = next(output for output in outputs if output["kind"] == "print-png")
    picture = next(output for output in outputs if output["kind"] == "picture")
    with Image.open(folder / "out" / picture["path"]) as image:
        dark: Points = 1 - linear_from_srgb8(np.asarray(image.convert("RGB"))[..., 1]).astype(np.float64)
    record = load_catalogue(builtin_profiles()).products[product]
    per_mm = record.resolution_ppi / 25.4
    x0, y0, x1, y1 = print_file["ink_box_px"]
    ink = np.array([x0, y0]) + INSET_PX, np.array([x1, y1]) - INSET_PX  # the plan lays true edges so far inside whole pixels
    grid = np.array([(x, y) for x in ACROSS for y in DOWN], float)
    low, high = np.array([ACROSS[0], DOWN[0]]) - RADIUS, np.array([ACROSS[-1], DOWN[-1]]) + RADIUS
    on_print = ink[0] + (grid - low) / (high - low) * (ink[1] - ink[0])
    return dark, (on_print / per_mm - record.bleed_mm) / np.array(record.print_area_mm)


def centre(dark: Points, place: Points, reach: int) -> Points:
    """The middle of the darkness around a place, px."""
    x, y = (round(float(value)) for value in place)
    window = dark[y - reach : y + reach + 1, x - reach : x + reach + 1]
    rows, columns = np.mgrid[y - reach : y + reach + 1, x - reach : x + reach + 1] + 0.5
    assert window.sum() > 10
    return np.asarray([(window * columns).sum() / window.sum(), (window * rows).sum() / window.sum()], np.float64)


def test_dots_lie_where_a_homography_puts_them(tmp_path: Path) -> None:
    """Within 0.1 px of the middle of each dot as mapped, which in perspective is not its mapped centre."""
    corners = np.array([(180, 140), (760, 90), (820, 900), (240, 800)], float)
    area = "M" + "L".join(f"{x} {y}" for x, y in corners) + "Z"
    dark, shares = pictured(tmp_path, "tee-adult-front-dtg", scene("tee-adult-front-dtg", area))
    rows, values = [], []
    for (u, v), (x, y) in zip(((0, 0), (1, 0), (1, 1), (0, 1)), corners, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -u * x, -v * x], [0, 0, 0, u, v, 1, -u * y, -v * y]]
        values += [x, y]
    h = np.append(solve(np.array(rows), np.array(values)), 1).reshape(3, 3)
    for share in shares:
        expected = _middle(lambda p: _through(h, p), share, _radii(shares))
        assert np.abs(centre(dark, expected, 32) - expected).max() < 0.1


def test_dots_lie_where_a_cylinder_turns_them(tmp_path: Path) -> None:
    """A mug of 82 mm whose wrap of 215.9 mm looks at the viewer with its middle, sides of the area at 80 degrees (arithmetic)."""
    left, right, top, bottom = 200.0, 800.0, 200.0, 640.0
    area = f"M{left} {top}L{right} {top}L{right} {bottom}L{left} {bottom}Z"
    more = 'area="cylinder" angles_deg="-80 80"'
    text = scene("mug-11oz-wrap-sub", area, more)
    dark, shares = pictured(tmp_path, "mug-11oz-wrap-sub", text)
    wrap = 215.9 / (82 / 2)

    def on_page(point: Points) -> Points:
        sine = np.sin((point[..., 0] - 0.5) * wrap) / math.sin(math.radians(80))
        return np.stack([(left + right) / 2 + sine * (right - left) / 2, top + point[..., 1] * (bottom - top)], axis=-1)

    for share in shares:
        expected = _middle(on_page, share, _radii(shares))
        assert np.abs(centre(dark, expected, 20) - expected).max() < 0.1


def _through(h: Points, points: Points) -> Points:
    mapped = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1) @ h.T
    return np.asarray(mapped[..., :2] / mapped[..., 2:])


def _radii(shares: Points) -> Points:
    """Half width and half height of a dot in shares of the area."""
    step = np.array([np.ptp(shares[:, 0]) / np.ptp(ACROSS), np.ptp(shares[:, 1]) / np.ptp(DOWN)])
    return np.asarray(RADIUS * step)


def _middle(mapping: object, share: Points, radii: Points) -> Points:
    """The centroid of a dot as mapped: over many points of its disc, each weighed by how large its surroundings become."""
    r, a = np.meshgrid((np.arange(60) + 0.5) / 60, np.arange(120) / 120 * 2 * np.pi, indexing="ij")
    disc = np.stack([r * np.cos(a), r * np.sin(a)], axis=-1)
    step = 1e-5

    def at(points: Points) -> Points:
        found: Points = mapping(share + points * radii)  # type: ignore[operator]
        return found

    middle = at(disc)
    across, down = at(disc + np.array([step, 0])) - middle, at(disc + np.array([0, step])) - middle
    weight = np.abs(across[..., 0] * down[..., 1] - across[..., 1] * down[..., 0]) * r
    return np.asarray((middle * weight[..., None]).sum(axis=(0, 1)) / weight.sum())


def test_the_middle_of_a_dot_is_found_without_a_picture() -> None:
    """The centroid of a disc that is only scaled and shifted is its centre (arithmetic)."""
    found = _middle(lambda p: p * [300.0, 200.0] + [5.0, 7.0], np.array([0.4, 0.6]), np.array([0.1, 0.05]))
    assert found == pytest.approx([125.0, 127.0], abs=1e-6)
