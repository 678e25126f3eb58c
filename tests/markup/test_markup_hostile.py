"""Colour rewriting ends on drawings made to break it: no recursion error, no explosion, no endless search."""

from __future__ import annotations

import random
import time

import pytest

from vectorprep.colour.css import parse_colour
from vectorprep.markup.cascade import Cascade
from vectorprep.markup.inkset import list_colours
from vectorprep.markup.paint import rewrite_colours
from vectorprep.markup.safe import parse_untrusted

MASK = "<mask><g/></mask>"  # makes the rewriting ask for the cascade
BOMBS = {
    "thousands of var() in one value": f"<style>:root{{--a:red}}g{{fill:{'var(--a) ' * 5000}}}</style><g/>",
    "doubling variables": "<style>:root{"
    + "".join(f"--a{n}:var(--a{n + 1}) var(--a{n + 1});" for n in range(45))
    + "--a45:red}g{fill:var(--a0)}</style><g/>",
    "circle of variables": "<style>:root{"
    + "".join(f"--a{n}:var(--a{(n + 1) % 3000});" for n in range(3000))
    + "}g{fill:var(--a0,red)}</style><g/>",
    "fallbacks in fallbacks": f"<style>g{{fill:{'var(--x,' * 3000}red{')' * 3000}}}</style><g/>",
    "mixtures in mixtures": f'<g fill="{"color-mix(in srgb," * 3000}red{",red)" * 3000}"/>',
    "open brackets": f'<g style="filter:{"rgb(" * 20000}"/>',
    "nested rules": f"<style>{'a,b,c{' * 25}fill:red{'}' * 25}</style>{MASK}",
    "nested selectors": f"<style>{':not(' * 2000}a{')' * 2000}{{fill:red}}</style>{MASK}",
    "open blocks": f"<style>{'a{' * 20000}fill:red</style>{MASK}",
    "spaces before a mark": f'<g style="fill:red{" " * 50000}! x"/>',
    "spaces in a font": f'<g style="font:{" " * 50000}x"/>{MASK}',
    "open strings": f"<style>{chr(34) * 20001}a{{fill:red}}</style><g/>",
    "colours in a list": f'<g style="filter:{"red " * 30000}"/>',
    "doubling instances": '<g id="a0"><path/></g>'
    + "".join(f'<g id="a{n + 1}"><use href="#a{n}"/><use href="#a{n}"/></g>' for n in range(60)),
    "chain of masks": "".join(f'<mask id="m{n}"><g mask="url(#m{n + 1})"/></mask>' for n in range(1500)),
    "deep groups": "<g>" * 190 + "<path/>" + "</g>" * 190,
}
LIMIT_S = 3.0  # far above the tenths of a second each takes, far below what an explosion takes


@pytest.mark.parametrize("name", BOMBS)
def test_bombs_end(name: str) -> None:
    """Rewriting and listing colours come to an end soon and without an error."""
    markup = f'<svg xmlns="http://www.w3.org/2000/svg">{BOMBS[name]}</svg>'.encode()
    start = time.process_time()
    rewrite_colours(parse_untrusted(markup), lambda _: "#ff0000")
    list_colours(parse_untrusted(markup))
    assert time.process_time() - start < LIMIT_S


def test_sheets_nested_too_deep_are_named() -> None:
    """A sheet that is left out for its brackets is among the refused ones."""
    markup = f'<svg xmlns="http://www.w3.org/2000/svg"><style>{"a{" * 200}</style></svg>'
    assert Cascade(parse_untrusted(markup.encode())).refused == ("(a sheet with brackets nested more than 100 deep)",)


@pytest.mark.parametrize(
    "function", ["rgb(", "hsl(", "hwb(", "lab(", "lch(", "oklab(", "oklch(", "color(xyz ", "color(prophoto-rgb "]
)
def test_absurd_numbers_give_a_colour_or_nothing(function: str) -> None:
    """Numbers of any size end in channels 0..255 or in an invalid token, never in an arithmetic error."""
    words = ["0", "1", "-1", "1e999", "-1e999", "1e300", "-1e300", "50%", "1e300%", "none", "1e300turn", "200deg", "--"]
    pick = random.Random(3)
    for _ in range(300):
        token = f"{function}{pick.choice(words)} {pick.choice(words)} {pick.choice(words)} / {pick.choice(words)})"
        for text in (token, f"color-mix(in oklch, {token} 20%, red)"):
            colour = parse_colour(text)
            assert colour is None or all(0 <= channel <= 255 for channel in (colour.r, colour.g, colour.b))
