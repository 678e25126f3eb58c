"""What cannot be recoloured exactly is named, and nothing else is."""

from __future__ import annotations

import pytest

from vectorprep.markup.exactness import inexact_features
from vectorprep.markup.safe import parse_untrusted


def features(body: str) -> list[str]:
    """The features reported for a drawing."""
    root = parse_untrusted(f'<svg xmlns="http://www.w3.org/2000/svg">{body}</svg>'.encode())
    return [issue.feature for issue in inexact_features(root)]


@pytest.mark.parametrize(
    ("body", "feature"),
    [
        ("<filter><feTurbulence/></filter>", "filter"),
        ('<filter><feColorMatrix type="luminanceToAlpha"/></filter>', "filter"),
        ('<filter><feColorMatrix type="saturate" values=".5"/></filter>', "filter"),
        ('<filter><feColorMatrix values="0 1 0 0 0 0 1 0 0 0 0 0 1 0 0 0 0 0 1 0"/></filter>', "filter"),
        ("<filter><feComponentTransfer><feFuncR/></feComponentTransfer></filter>", "filter"),
        ("<filter><feDisplacementMap/></filter>", "filter"),
        ('<filter><feImage href="#a"/></filter>', "filter"),
        ('<g style="filter:hue-rotate(20deg)"/>', "filter"),
        ('<g filter="grayscale(1)"/>', "filter"),
        ("<style>.a{filter:sepia(1)}</style>", "filter"),
        ('<filter><feBlend mode="hue"/></filter>', "blend-mode"),
        ('<g style="mix-blend-mode:luminosity"/>', "blend-mode"),
        ("<style>.a{mix-blend-mode:color}</style>", "blend-mode"),
        ("<text>\U0001f600</text>", "colour-font"),
        ('<foreignObject><p xmlns="http://www.w3.org/1999/xhtml">Tea</p></foreignObject>', "foreign-object"),
    ],
)
def test_features_that_mix_or_make_colour(body: str, feature: str) -> None:
    """Each feature that no mapping of inks can follow is reported."""
    assert features(body) == [feature]


@pytest.mark.parametrize(
    "body",
    [
        '<filter><feGaussianBlur/><feOffset/><feFlood/><feComposite operator="arithmetic" k2="1"/></filter>',
        '<filter><feColorMatrix values="1 0 0 0 0 0 1 0 0 0 0 0 1 0 0 0 0 0 .5 0"/></filter>',
        '<filter><feColorMatrix type="saturate" values="1"/></filter>',
        '<filter><feColorMatrix type="hueRotate" values="0"/></filter>',
        "<filter><feComponentTransfer><feFuncA/></feComponentTransfer></filter>",
        '<filter><feBlend mode="multiply"/></filter>',
        '<g style="mix-blend-mode:multiply;filter:drop-shadow(1px 1px 1px red) blur(2px)" opacity=".5"/>',
        '<foreignObject><d xmlns="urn:editor"/></foreignObject>',
        '<foreignObject requiredExtensions="urn:editor"><p xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>',
        '<linearGradient><stop stop-color="red"/></linearGradient><text>grayscale(1) \u2014 Tea</text>',
    ],
)
def test_features_that_commute_are_not_reported(body: str) -> None:
    """Smoothing, opacity, gradients, separable blending and shadows follow the inks: no report."""
    assert features(body) == []


def test_one_report_for_many_of_a_kind() -> None:
    """The same feature in many places is said once, with the first place."""
    assert features('<filter><feTurbulence id="a"/><feTurbulence id="b"/></filter>') == ["filter"]
