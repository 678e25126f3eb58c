"""Faults of colour, cover, page and file, each at the strength asked for; those that speak of shares bring drawings of their own.

All functions take a random generator and a strength (the limit over the planted figure, or the reverse where more is worse).
They give SVG content of a page of 100 mm, or of 280 mm where said.
"""

from __future__ import annotations

import base64
import io
import math
import random

from PIL import Image

from tests.benchmarks import planted_ways as ways
from tests.checks.given import CATALOGUE
from vectorprep.colour import contrast_ratio

INKS = ways.INKS
BLACKS = ("#000000", "#101010", "#0a0c10", "#120e0e", "#161616")
SPOTS = ("#e4572e", "#17bebb", "#ffc914", "#2e282a", "#76b041", "#b084cc", "#874000", "#0f7173", "#f05d5e", "#d8a47f")
BASE_LEAST_MM = 2 * CATALOGUE.policies["opaque_white_base"].choke_mm + 0.2  # common practice, no source
OWN_INK_MM2 = 1600.0


def shape(chance: random.Random, paint: str, side: float = 18.0) -> str:
    """One of several shapes in a paint, about (80, 80)."""
    half = side / 2
    forms = (
        f'<rect x="{80 - half}" y="{80 - half}" width="{side}" height="{side}" fill="{paint}"/>',
        f'<circle cx="80" cy="80" r="{half}" style="fill:{paint}"/>',
        f'<g fill="{paint}"><polygon points="80,{80 - half} {80 + half},{80 + half} {80 - half},{80 + half}"/></g>',
        f'<path d="M{80 - half} 80H{80 + half}" stroke="{paint}" stroke-width="{side / 2}" fill="none"/>',
        f'<ellipse cx="80" cy="80" rx="{half}" ry="{half / 2}" fill="none" stroke="{paint}" stroke-width="3"/>',
        f'<g color="{paint}"><rect x="{80 - half}" y="76" width="{side}" height="8" rx="2" fill="currentColor"/></g>',
    )
    return ways.turned(chance, chance.choice(forms))


def line_without_base(chance: random.Random, strength: float) -> str:
    """A line thinner than the choke of a white base leaves white under."""
    ink, width = chance.choice(INKS), BASE_LEAST_MM / strength
    forms = (
        f'<path d="M71 80H89" stroke="{ink}" stroke-width="{width:.4f}"/>',
        f'<path d="{ways.band(width, chance.uniform(0.2, 1.2))}" fill="{ink}"/>',
        f'<circle cx="80" cy="80" r="8" fill="none" stroke="{ink}" stroke-width="{width:.4f}"/>',
    )
    return ways.turned(chance, chance.choice(forms))


def heavy_solid(chance: random.Random, strength: float) -> str:
    """On a page of 280 mm: a solid of the least heavy cover of 254 x 254 mm, times the strength."""
    ink, area = chance.choice(INKS), min(0.60 * strength, 0.97) * 254.0**2
    side = math.sqrt(area)
    pieces = 6
    forms = (
        f'<rect x="13" y="13" width="{side:.3f}" height="{side:.3f}" fill="{ink}"/>',
        "".join(
            f'<rect x="13" y="{13 + 254 / pieces * at:.3f}" width="254" height="{area / 254 / pieces:.3f}" fill="{ink}"/>'
            for at in range(pieces)
        ),
        f'<path d="M13 140H267" stroke="{ink}" stroke-width="{area / 254:.3f}"/>',
    )
    return chance.choice(forms)


def small_soft(chance: random.Random, strength: float) -> str:
    """A see-through part of 0.5 % of the ink (common practice, no source), times the strength, beside or on solid ink."""
    side = math.sqrt(0.005 * strength * OWN_INK_MM2) + 2 * 25.4 / 300  # its outermost pixels count as smoothed edge
    at = chance.uniform(55, 85)
    return (
        f'<rect x="5" y="5" width="40" height="40" fill="{INKS[0]}"/><rect x="{at:.3f}" y="{at:.3f}" width="{side:.4f}" '
        f'height="{side:.4f}" fill="{chance.choice(INKS)}" fill-opacity="{chance.uniform(0.2, 0.9):.3f}"/>'
    )


def small_mist(chance: random.Random, strength: float) -> str:
    """Faint ink of 0.05 % of the ink (common practice, no source), times the strength."""
    side, at = math.sqrt(0.0005 * strength * OWN_INK_MM2), chance.uniform(55, 85)
    return (
        f'<rect x="5" y="5" width="40" height="40" fill="{INKS[0]}"/><rect x="{at:.3f}" y="{at:.3f}" width="{side:.4f}" '
        f'height="{side:.4f}" fill="{chance.choice(INKS)}" fill-opacity="{chance.uniform(0.015, 0.04):.3f}"/>'
    )


def short_seam(chance: random.Random, strength: float) -> str:
    """A seam of 20 px at 300 ppi (house value), times the strength."""
    long, turn = 20 * 25.4 / 300 * strength, chance.uniform(5, 40)
    one, other = chance.sample(INKS, 2)
    return (
        f'<g transform="rotate({turn:.2f} 80 80)"><rect x="72" y="72" width="8" height="{long:.4f}" fill="{one}"/>'
        f'<rect x="80" y="72" width="8" height="{long:.4f}" fill="{other}"/></g>'
    )


def low_contrast(chance: random.Random, strength: float) -> str:
    """A grey whose ratio to white is 3:1 (published: WCAG 2.2, 1.4.11) over the strength."""
    wanted = 3.0 / strength
    level = min(range(256), key=lambda grey: abs(contrast_ratio(f"#{grey:02x}{grey:02x}{grey:02x}", "#ffffff") - wanted))
    return shape(chance, f"#{level:02x}{level:02x}{level:02x}")


def fine_bitmap(chance: random.Random, strength: float) -> str:
    """A bitmap of twice the target's pixels (common practice, no source), times the strength."""
    width = chance.uniform(10, 16)
    side = round(width / 25.4 * 600 * strength)
    data = io.BytesIO()
    Image.effect_noise((64, 64), 80).resize((side, side)).convert("RGB").save(data, "JPEG")
    href = "data:image/jpeg;base64," + base64.b64encode(data.getvalue()).decode()
    return f'<image x="72" y="72" width="{width:.4f}" height="{width:.4f}" xlink:href="{href}"/>'


def black(chance: random.Random, _strength: float) -> str:
    """Black ink on cloth as black."""
    return shape(chance, chance.choice(BLACKS))


def white(chance: random.Random, _strength: float) -> str:
    """White ink."""
    return shape(chance, chance.choice(("#ffffff", "#fff", "white", "rgb(255,255,255)", "#fdfdfd")))


def spots(chance: random.Random, _strength: float) -> str:
    """More colours than a screen print has."""
    many = chance.randint(7, len(SPOTS))
    return "".join(
        f'<rect x="{68 + 5 * (at % 5)}" y="{70 + 10 * (at // 5)}" width="5" height="8" fill="{ink}"/>'
        for at, ink in enumerate(chance.sample(SPOTS, many))
    )


def gradient(chance: random.Random, _strength: float) -> str:
    """A paint that changes: from one ink to another, along a line or about a point, as fill or stroke, or a photograph."""
    stops = '<stop stop-color="#ffdd55"/><stop offset="1" stop-color="#b3202c"/>'
    data = io.BytesIO()
    Image.effect_noise((64, 64), 90).convert("RGB").save(data, "PNG")
    href = "data:image/png;base64," + base64.b64encode(data.getvalue()).decode()
    forms = (
        f'<radialGradient id="blend">{stops}</radialGradient><circle cx="80" cy="80" r="10" fill="url(#blend)"/>',
        f'<linearGradient id="blend" x2="0" y2="1">{stops}</linearGradient><rect x="70" y="70" width="20" height="20" '
        'fill="url(#blend)"/>',
        f'<linearGradient id="blend" gradientUnits="userSpaceOnUse" x1="70" x2="90">{stops}</linearGradient>'
        '<path d="M70 80H90" stroke="url(#blend)" stroke-width="9"/>',
        f'<image x="71" y="71" width="18" height="18" xlink:href="{href}"/>',
    )
    return chance.choice(forms)


def at_the_edge(chance: random.Random, _strength: float) -> str:
    """Art that the page cuts."""
    ink = chance.choice(INKS)
    forms = (
        f'<circle cx="96" cy="80" r="9" fill="{ink}"/>',
        f'<rect x="70" y="85" width="12" height="15" fill="{ink}"/>',
        f'<path d="M80 80L110 95" stroke="{ink}" stroke-width="5"/>',
    )
    return chance.choice(forms)


def plate(chance: random.Random, _strength: float) -> str:
    """A rectangle as large as the page, to lie behind everything."""
    paint = chance.choice(("#ffffff", "#f4efe2", "#20304a"))
    forms = (
        f'<rect width="100" height="100" fill="{paint}"/>',
        f'<path d="M0 0H100V100H0Z" fill="{paint}"/>',
        f'<rect x="-5" y="-5" width="110" height="110" style="fill:{paint}"/>',
    )
    return chance.choice(forms)


def strange_face(chance: random.Random, _strength: float) -> str:
    """Text in a face that nobody has."""
    return f'<text x="68" y="86" font-family="Nowhere Grotesk {chance.randint(1, 99)}" font-size="14" fill="{INKS[0]}">Ab</text>'


def far_speck(chance: random.Random, strength: float) -> str:
    """A drawing in one corner, and in the other a speck of 0.1 % of its ink (common practice, no source) over the strength."""
    ink, radius = chance.choice(INKS), chance.uniform(4, 5.5)
    many = "".join(
        f'<circle cx="{10 + 12 * (at % 3)}" cy="{10 + 12 * (at // 3)}" r="{radius:.3f}" fill="{ink}"/>' for at in range(9)
    )
    side = math.sqrt(0.001 / strength * 9 * math.pi * radius**2)
    x, y = chance.uniform(88, 96), chance.uniform(88, 96)
    speck = (
        f'<rect x="{x:.2f}" y="{y:.2f}" width="{side:.4f}" height="{side:.4f}" fill="{ink}"/>',
        f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{side / math.sqrt(math.pi):.4f}" fill="{ink}"/>',
        f'<path d="M{x:.2f} {y:.2f}h{2 * side:.4f}" stroke="{ink}" stroke-width="{side / 2:.4f}"/>',
    )
    return many + ways.wrapped(chance, chance.choice(speck))


def remote_picture(chance: random.Random, _strength: float) -> str:
    """A picture that is not in the drawing."""
    href = chance.choice(("photo.png", "../art/photo.jpg", "https://example.invalid/photo.png", "file:///photo.png"))
    return f'<image x="70" y="70" width="20" height="20" xlink:href="{href}"/>'


def glowing(chance: random.Random, _strength: float) -> str:
    """An ink that no press prints."""
    return shape(chance, chance.choice(("#00ff00", "#0000ff", "#ff00ff", "#00ffe0")))


def small_black_text(chance: random.Random, strength: float) -> str:
    """Black text whose capitals are 3 mm high (house value) over the strength, in a face whose capitals are 0.7 em."""
    size = 3.0 / strength / 0.7
    paint = chance.choice(("#000000", "#0c0c0c", "black"))
    return f'<text x="70" y="80" font-family="Fredoka One" font-size="{size:.4f}" fill="{paint}">HINT</text>'
