"""Laws of the ink box: what moving, turning, scaling, nesting and hiding must do to it, whatever the drawing."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from vectorprep.model import Measurement

Corners = tuple[float, float, float, float]
OnPage = Callable[..., Corners | None]

_PX = 1 / 30
_LAWS = settings(max_examples=12, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])

_coordinate = st.integers(30, 90)
_length = st.integers(4, 30)


@st.composite
def drawings(draw: st.DrawFn) -> str:
    """One to three plain shapes in the middle of the page, 30..120 units."""
    shapes = []
    for _ in range(draw(st.integers(1, 3))):
        x, y, w, h = draw(_coordinate), draw(_coordinate), draw(_length), draw(_length)
        shapes.append(
            draw(
                st.sampled_from(
                    (
                        f'<rect x="{x}" y="{y}" width="{w}" height="{h}"/>',
                        f'<ellipse cx="{x}" cy="{y}" rx="{w / 2}" ry="{h / 2}"/>',
                        f'<path d="M{x},{y} q{w},{h} {w},0" stroke="red" stroke-width="3"/>',
                        f'<polygon points="{x},{y} {x + w},{y} {x},{y + h}" fill="none" stroke="blue" stroke-width="2"/>',
                        f'<path d="M{x},{y} l{w},{h}" stroke="green" stroke-width="4" stroke-linecap="round"/>',
                    )
                )
            )
        )
    return "".join(shapes)


def _same(found: Corners | None, wanted: Corners, slack_px: float = 1.0) -> None:
    assert found is not None
    assert max(abs(a - b) for a, b in zip(found, wanted, strict=True)) <= slack_px * _PX + 1e-9


def _box(on_page: OnPage, content: str, root: str = 'viewBox="0 0 150 170"') -> Corners:
    found = on_page(content, root)
    assert found is not None
    return found


@_LAWS
@given(drawings(), st.integers(-25, 25), st.integers(-25, 40))
def test_moving_moves_the_box(on_page: OnPage, content: str, dx: int, dy: int) -> None:
    """A drawing moved by whole units has its box moved by as much."""
    x0, y0, x1, y1 = _box(on_page, content)
    moved = on_page(f'<g transform="translate({dx},{dy})">{content}</g>')
    _same(moved, (x0 + dx, y0 + dy, x1 + dx, y1 + dy))


@_LAWS
@given(drawings(), st.sampled_from((0.5, 0.75, 1.2)))
def test_scaling_scales_the_box(on_page: OnPage, content: str, factor: float) -> None:
    """A drawing scaled about the origin has its box scaled, within a pixel of each of the two measurements."""
    box = _box(on_page, content)
    x0, y0, x1, y1 = (edge * factor for edge in box)
    _same(on_page(f'<g transform="scale({factor})">{content}</g>'), (x0, y0, x1, y1), slack_px=1 + factor)


@_LAWS
@given(drawings())
def test_a_quarter_turn_turns_the_box(on_page: OnPage, content: str) -> None:
    """Turned by 90 degrees about the page's middle (75, 85): x' = 160 - y, y' = 10 + x."""
    x0, y0, x1, y1 = _box(on_page, content)
    _same(on_page(f'<g transform="rotate(90 75 85)">{content}</g>'), (160 - y1, 10 + x0, 160 - y0, 10 + x1))


@_LAWS
@given(drawings())
def test_mirroring_mirrors_the_box(on_page: OnPage, content: str) -> None:
    """Mirrored left to right: x' = 150 - x."""
    x0, y0, x1, y1 = _box(on_page, content)
    _same(on_page(f'<g transform="translate(150,0) scale(-1,1)">{content}</g>'), (150 - x1, y0, 150 - x0, y1))


@_LAWS
@given(drawings(), st.integers(1, 5))
def test_wrapping_changes_nothing(on_page: OnPage, content: str, depth: int) -> None:
    """Groups and nested viewports of the page's size leave the box where it is."""
    box = _box(on_page, content)
    _same(on_page("<g>" * depth + content + "</g>" * depth), box)
    _same(on_page(f'<svg width="150" height="170" viewBox="0 0 150 170">{content}</svg>'), box)


@_LAWS
@given(drawings())
def test_hidden_shapes_change_nothing(on_page: OnPage, content: str) -> None:
    """Shapes that are hidden, stored, transparent or beyond the page do not count."""
    hidden = (
        '<rect width="150" height="170" display="none"/><rect width="9" height="9" visibility="hidden"/>'
        '<defs><rect width="150" height="170"/></defs><rect width="9" height="9" opacity="0"/>'
        '<rect width="9" height="9" fill="none"/><rect x="-40" y="-40" width="30" height="30"/>'
    )
    _same(on_page(hidden + content + hidden), _box(on_page, content), slack_px=0)


@_LAWS
@given(drawings(), drawings())
def test_two_drawings_have_the_union_of_their_boxes(on_page: OnPage, one: str, other: str) -> None:
    """What is drawn together reaches as far as the farther of the two."""
    a, b = _box(on_page, one), _box(on_page, other)
    _same(on_page(one + other), (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])), slack_px=0)


@_LAWS
@given(drawings(), st.sampled_from(("1440px", "1080pt", "381mm", "38.1cm", "90pc", "1524Q")))
def test_the_unit_of_the_page_changes_nothing(measured: Callable[..., Measurement], content: str, width: str) -> None:
    """15 in is 1440 px, 1080 pt, 381 mm, 38.1 cm, 90 pc and 1524 Q: the same page, the same box."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="{}" height="17in" viewBox="0 0 150 170">{}</svg>'
    assert measured(svg.format(width, content)).ink_box_mm == measured(svg.format("15in", content)).ink_box_mm


@_LAWS
@given(drawings(), st.integers(2, 9))
def test_a_larger_page_in_the_same_ratio_scales_the_box(measured: Callable[..., Measurement], content: str, times: int) -> None:
    """A page n times as large in both directions has the same box n times as large."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="{}in" height="{}in" viewBox="0 0 150 170">{}</svg>'
    small = measured(svg.format(15, 17, content)).ink_box_mm
    large = measured(svg.format(15 * times, 17 * times, content)).ink_box_mm
    assert small is not None
    assert large is not None
    assert max(abs(a * times - b) for a, b in zip(small.corners, large.corners, strict=True)) < 1e-6 * times
