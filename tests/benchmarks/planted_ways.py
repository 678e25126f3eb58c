"""Other ways of drawing the same fault: as other shapes, and wrapped into whatever a drawing program may wrap art into.

All functions take a random generator and lengths in mm, and give SVG content around (80, 80) of a page of 100 mm.
"""

from __future__ import annotations

import base64
import io
import math
import random

from PIL import Image, ImageDraw

INKS = ("#1f3a86", "#b3402a", "#2f6f4e", "#d99a2b")  # as many as a plain screen print takes
BITMAP_PPI = 600


def wrapped(chance: random.Random, content: str) -> str:
    """The same picture in groups, uses, symbols, inner drawings, clips, masks and transforms that undo each other."""
    name = f"part{chance.randrange(10**6)}"
    scale, dx, dy = chance.choice((0.1, 0.5, 3.0)), chance.uniform(-40, 40), chance.uniform(-40, 40)
    ways = (
        content,
        content,
        f"<g>{content}</g>",
        f'<g transform="translate({dx:.3f} {dy:.3f}) scale({scale})"><g transform="scale({1 / scale:.6f})">'
        f'<g transform="translate({-dx:.3f},{-dy:.3f})">{content}</g></g></g>',
        f'<defs><g id="{name}">{content}</g></defs><use href="#{name}"/>',
        f'<defs><g id="{name}" transform="translate({-dx:.3f} {-dy:.3f})">{content}</g></defs>'
        f'<use xlink:href="#{name}" x="{dx:.3f}" y="{dy:.3f}"/>',
        f'<symbol id="{name}" overflow="visible">{content}</symbol><use href="#{name}"/>',
        f'<svg x="0" y="0" width="100" height="100" viewBox="0 0 100 100">{content}</svg>',
        f'<svg x="50" y="50" width="50" height="50" viewBox="50 50 50 50">{content}</svg>',
        f'<clipPath id="{name}"><rect x="55" y="55" width="45" height="45"/></clipPath><g clip-path="url(#{name})">{content}</g>',
        f'<mask id="{name}" maskUnits="userSpaceOnUse" x="50" y="50" width="50" height="50">'
        f'<rect x="50" y="50" width="50" height="50" fill="#fff"/></mask><g mask="url(#{name})">{content}</g>',
        f'<g opacity="1" style="isolation:isolate">{content}</g>',
        f'<a href="#{name}">{content}</a>',
        f"<switch><g>{content}</g></switch>",
        f'<g transform="matrix(-1 0 0 1 160 0)"><g transform="matrix(-1,0,0,1,160,0)">{content}</g></g>',
        f'<g transform="rotate(37 20 30)"><g transform="rotate(-37 20 30)">{content}</g></g>',
    )
    return chance.choice(ways)


def turned(chance: random.Random, content: str) -> str:
    """Turned about the middle of the free cell by any angle."""
    return f'<g transform="rotate({chance.uniform(0, 360):.2f} 80 80)">{content}</g>'


def bitmap(draw_mm: list[tuple[float, float]], width_mm: float, ink: str, *, is_closed: bool = False) -> str:
    """A line drawn into a bitmap of 24 x 24 mm, smoothed, with a transparent ground."""
    size, big = round(24 / 25.4 * BITMAP_PPI), 3
    mask = Image.new("L", (size * big, size * big), 0)
    scale = size * big / 24
    points = [((x - 68) * scale, (y - 68) * scale) for x, y in draw_mm]
    if is_closed:
        ImageDraw.Draw(mask).polygon(points, fill=255)
    else:
        ImageDraw.Draw(mask).line(points, fill=255, width=max(1, round(width_mm * scale)), joint="curve")
    mask = mask.resize((size, size), Image.Resampling.BOX)
    picture = Image.new("RGBA", (size, size), ink)
    picture.putalpha(mask)
    data = io.BytesIO()
    picture.save(data, "PNG")
    href = "data:image/png;base64," + base64.b64encode(data.getvalue()).decode()
    return f'<image x="68" y="68" width="24" height="24" xlink:href="{href}"/>'


def band(width: float, bend: float) -> str:
    """Path data of a filled band of even width, 16 mm long, whose middle is an arc of a circle (a straight one for no bend)."""
    if bend == 0:
        return f"M72 {80 - width / 2:.4f}H88V{80 + width / 2:.4f}H72Z"
    radius = 8 / math.sin(bend)
    outer, inner, cy = radius + width / 2, radius - width / 2, 80 + radius * math.cos(bend)
    ends = [(80 + s * r * math.sin(bend), cy - r * math.cos(bend)) for s, r in ((-1, outer), (1, outer), (1, inner), (-1, inner))]
    (ax, ay), (bx, by), (cx, cy2), (dx, dy) = ends
    return (
        f"M{ax:.4f} {ay:.4f}A{outer:.4f} {outer:.4f} 0 0 1 {bx:.4f} {by:.4f}L{cx:.4f} {cy2:.4f}"
        f"A{inner:.4f} {inner:.4f} 0 0 0 {dx:.4f} {dy:.4f}Z"
    )


def more_lines(chance: random.Random, width: float) -> str:
    """A thin line: on other ink, bent bands that are filled, clipped, dashed, from a gradient, in a bitmap, squeezed, a tail."""
    ink, other = chance.sample(INKS, 2)
    bend = chance.uniform(0.3, 1.3)
    ground = f'<circle cx="80" cy="80" r="11.5" fill="{other}"/>'
    forms = (
        f'<path d="{band(width, bend)}" fill="{ink}"/>',
        ground + f'<path d="{band(width, bend)}" fill="{ink}"/>',
        ground + f'<path d="{band(width, 0)}" fill="{ink}"/>',
        ground + f'<path d="M72 80C76 70 84 90 88 80" fill="none" stroke="{ink}" stroke-width="{width:.4f}"/>',
        ground + f'<circle cx="80" cy="80" r="6" fill="none" stroke="{ink}" stroke-width="{width:.4f}"/>',
        ground + f'<path fill-rule="evenodd" fill="{ink}" d="M73 80a7 7 0 1 0 14 0a7 7 0 1 0 -14 0ZM{73 + width:.4f} 80'
        f"a{7 - width:.4f} {7 - width:.4f} 0 1 0 {14 - 2 * width:.4f} 0"
        f'a{7 - width:.4f} {7 - width:.4f} 0 1 0 {2 * width - 14:.4f} 0Z"/>',
        f'<clipPath id="slit"><path d="{band(width, bend)}"/></clipPath>'
        f'<rect x="68" y="68" width="24" height="24" fill="{ink}" clip-path="url(#slit)"/>',
        f'<path d="M70 80H90" stroke="{ink}" stroke-width="{width:.4f}" stroke-dasharray="6 3"/>',
        f'<linearGradient id="tint"><stop stop-color="{ink}"/><stop offset="1" stop-color="{other}"/></linearGradient>'
        f'<path d="M71 78Q80 84 89 78" fill="none" stroke="url(#tint)" stroke-width="{width:.4f}"/>',
        bitmap([(71, 71), (78, 84), (89, 88)], width, ink),
        f'<g transform="translate(80 80) scale(2 0.5)"><path d="M-4 0H4" stroke="{ink}" stroke-width="{2 * width:.4f}"/></g>',
        f'<g stroke="{ink}" fill="none"><path style="stroke-width:{width:.4f}" d="M72 72v16M76 72v16M80 72v16M84 72v16"/></g>',
        f'<circle cx="74" cy="80" r="4" fill="{ink}"/><rect x="77" y="{80 - width / 2:.4f}" width="14" height="{width:.4f}" '
        f'fill="{ink}"/>',
        f'<polygon points="{" ".join(_star(10, 4, width))}" fill="none" stroke="{ink}" stroke-width="{width:.4f}"/>',
        f'<ellipse cx="80" cy="80" rx="10" ry="5" fill="none" stroke="{ink}" stroke-width="{width:.4f}"/>',
    )
    return turned(chance, chance.choice(forms))


def _star(outer: float, inner: float, _width: float) -> list[str]:
    points = [(outer if at % 2 == 0 else inner, at * math.pi / 5) for at in range(10)]
    return [f"{80 + r * math.cos(a):.3f},{80 + r * math.sin(a):.3f}" for r, a in points]


def more_gaps(chance: random.Random, width: float) -> str:
    """A narrow gap: between strokes, of dashes, bent, clipped, in a bitmap, between a shape and its ring, in a comb."""
    ink, other = chance.sample(INKS, 2)
    half, bend = width / 2, chance.uniform(0.3, 1.2)
    forms = (
        f'<g stroke="{ink}" stroke-width="6"><path d="M72 {77 - half:.4f}h16M72 {83 + half:.4f}h16"/></g>',
        f'<path d="M69 80h22" stroke="{ink}" stroke-width="9" stroke-dasharray="5 {width:.4f}"/>',
        f'<mask id="open"><rect x="60" y="60" width="40" height="40" fill="#fff"/>'
        f'<path d="{band(width, bend)}" fill="#000"/></mask>'
        f'<rect x="70" y="70" width="20" height="20" fill="{ink}" mask="url(#open)"/>',
        f'<circle cx="80" cy="80" r="5" fill="{ink}"/><circle cx="80" cy="80" r="{7 + width:.4f}" fill="none" stroke="{other}" '
        f'stroke-width="4"/>',
        f'<path fill="{ink}" fill-rule="evenodd" d="M70 70H90V90H70Z{band(width, bend)}"/>',
        f'<clipPath id="two"><path d="M69 69H{80 - half:.4f}V91H69ZM{80 + half:.4f} 69H91V91H{80 + half:.4f}Z"/></clipPath>'
        f'<circle cx="80" cy="80" r="10" fill="{ink}" clip-path="url(#two)"/>',
        f'<path fill="{ink}" d="M71 71H{80 - half:.4f}V89H71Z"/>'
        f'<path fill="{other}" d="M{80 + half:.4f} 71H89V89H{80 + half:.4f}Z"/>',
        f'<path fill="{ink}" d="M71 71h18v3h-18zM71 {74 + width:.4f}h18v3h-18zM71 {77 + 2 * width:.4f}h18v3h-18z"/>',
    )
    return turned(chance, chance.choice(forms))


def more_dots(chance: random.Random, size: float) -> str:
    """A small dot: many, a triangle, a star, of a dotted line, an ellipse, clipped, in a bitmap."""
    ink = chance.choice(INKS)
    side = size * math.sqrt(math.pi / math.sqrt(3))
    high = side * math.sqrt(3) / 2
    forms = (
        "".join(
            f'<circle cx="{chance.uniform(72, 75) + 6 * at:.3f}" cy="{chance.uniform(74, 86):.3f}" '
            f'r="{size / 2:.4f}" fill="{ink}"/>'
            for at in range(3)
        ),
        f'<polygon points="80,{80 - high / 2:.4f} {80 + side / 2:.4f},{80 + high / 2:.4f} {80 - side / 2:.4f},{80 + high / 2:.4f}" '
        f'fill="{ink}"/>',
        f'<path d="M72 80h16" stroke="{ink}" stroke-width="{size:.4f}" stroke-linecap="round" stroke-dasharray="0 4"/>',
        f'<ellipse cx="80" cy="80" rx="{size / 2 * 1.25:.4f}" ry="{size / 2 / 1.25:.4f}" fill="{ink}"/>',
        f'<clipPath id="hole"><circle cx="80" cy="80" r="{size / 2:.4f}"/></clipPath>'
        f'<rect x="70" y="70" width="20" height="20" fill="{ink}" clip-path="url(#hole)"/>',
        bitmap([(80 + size / 2 * math.cos(a), 80 + size / 2 * math.sin(a)) for a in _angles(24)], 0, ink, is_closed=True),
        f'<g transform="translate(80 80) scale(4)"><circle r="{size / 8:.5f}" fill="{ink}"/></g>',
    )
    return turned(chance, chance.choice(forms))


def _angles(many: int) -> list[float]:
    return [2 * math.pi * at / many for at in range(many)]


def more_text(chance: random.Random, family: str, size: float) -> str:
    """Small text: in a tspan, turned, spaced, by a style sheet, along a path, anchored in the middle, stretched, behind a tspan."""
    ink, word = chance.choice(INKS), chance.choice(("HINT", "NOTE", "THE END", "No 7", "Hem"))
    set_in = f'font-family="{family}" fill="{ink}"'
    forms = (
        f'<text x="70" y="80" {set_in} font-size="9"><tspan font-size="{size:.4f}">{word}</tspan></text>',
        f'<text x="80" y="80" {set_in} font-size="{size:.4f}" text-anchor="middle" transform="rotate(65 80 80)">{word}</text>',
        f'<text x="70" y="80" {set_in} font-size="{size:.4f}" letter-spacing="{0.3 * size:.3f}">{word}</text>',
        f'<style>.tiny{{font:{size:.4f}px "{family}";fill:{ink}}}</style><text class="tiny" x="70" y="80">{word}</text>',
        f'<path id="way" d="M70 82Q80 74 90 82" fill="none"/><text {set_in} font-size="{size:.4f}">'
        f'<textPath href="#way">{word}</textPath></text>',
        f'<g transform="matrix(0.5 0 0 0.5 40 40)"><text x="70" y="80" {set_in} font-size="{2 * size:.4f}">{word}</text></g>',
        f'<g font-size="{size / 2:.4f}"><text x="70" y="80" {set_in} style="font-size:2em">{word}</text></g>',
        f'<text x="69" y="80" {set_in} font-size="{size:.4f}"><tspan font-size="7">A</tspan> {word}</text>',
        f'<text {set_in} font-size="{size:.4f}"><tspan x="70" y="76">{word}</tspan><tspan x="70" dy="8">{word}</tspan></text>',
    )
    return chance.choice(forms)


def more_soft(chance: random.Random) -> str:
    """See-through ink: by mask, group, stop, stroke, shadow, bitmap, use, class."""
    ink, alpha = chance.choice(INKS), chance.uniform(0.25, 0.8)
    grey = round(255 * alpha)
    picture = Image.new("RGBA", (40, 40), ink)
    picture.putalpha(grey)
    data = io.BytesIO()
    picture.save(data, "PNG")
    href = "data:image/png;base64," + base64.b64encode(data.getvalue()).decode()
    forms = (
        f'<mask id="half"><rect x="60" y="60" width="40" height="40" fill="rgb({grey},{grey},{grey})"/></mask>'
        f'<rect x="70" y="70" width="20" height="20" fill="{ink}" mask="url(#half)"/>',
        f'<g opacity="{math.sqrt(alpha):.4f}"><g opacity="{math.sqrt(alpha):.4f}">'
        f'<circle cx="80" cy="80" r="9" fill="{ink}"/></g></g>',
        f'<radialGradient id="glow"><stop stop-color="{ink}"/>'
        f'<stop offset="1" stop-color="{ink}" stop-opacity="0"/></radialGradient>'
        '<circle cx="80" cy="80" r="11" fill="url(#glow)"/>',
        f'<path d="M72 80H88" stroke="{ink}" stroke-width="9" stroke-opacity="{alpha:.3f}"/>',
        '<filter id="drop" x="-50%" y="-50%" width="200%" height="200%"><feDropShadow dx="4" dy="4" stdDeviation="2" '
        f'flood-opacity="0.6"/></filter><circle cx="78" cy="78" r="7" fill="{ink}" filter="url(#drop)"/>',
        f'<image x="70" y="70" width="20" height="20" xlink:href="{href}"/>',
        f'<style>.veil{{fill:{ink};fill-opacity:{alpha:.3f}}}</style><polygon class="veil" points="70,90 80,70 90,90"/>',
        f'<rect x="70" y="70" width="20" height="20" fill="{ink}{grey:02x}"/>',
    )
    return chance.choice(forms)


def more_mist(chance: random.Random) -> str:
    """Faint ink: by stops, strokes, group, bitmap, mask."""
    ink, alpha = chance.choice(INKS), chance.uniform(0.012, 0.04)
    grey = max(3, round(255 * alpha))
    forms = (
        f'<linearGradient id="faint"><stop stop-color="{ink}" stop-opacity="{alpha:.4f}"/><stop offset="1" stop-color="{ink}" '
        f'stop-opacity="0.01"/></linearGradient><rect x="68" y="68" width="24" height="24" fill="url(#faint)"/>',
        f'<g opacity="{alpha:.4f}"><path d="M68 80H92" stroke="{ink}" stroke-width="14"/></g>',
        f'<rect x="69" y="69" width="22" height="22" fill="{ink}{grey:02x}"/>',
        f'<mask id="veil"><rect x="60" y="60" width="40" height="40" fill="#fff" fill-opacity="{alpha:.4f}"/></mask>'
        f'<circle cx="80" cy="80" r="11" fill="{ink}" mask="url(#veil)"/>',
        f'<polygon points="68,92 80,68 92,92" fill="{ink}" style="fill-opacity:{alpha:.4f}"/>',
    )
    return turned(chance, chance.choice(forms))


def more_seams(chance: random.Random) -> str:
    """Abutting shapes: slices of a pie, stripes, curves, clips, mirrored halves, a polygon cut into triangles."""
    ink, other = chance.sample(INKS, 2)
    turn = chance.uniform(4, 41)
    slices = "".join(
        f'<path fill="{(ink, other)[at % 2]}" d="M80 80L{80 + 10 * math.cos(a):.4f} {80 + 10 * math.sin(a):.4f}A10 10 0 0 1 '
        f'{80 + 10 * math.cos(a + math.pi / 3):.4f} {80 + 10 * math.sin(a + math.pi / 3):.4f}Z"/>'
        for at, a in enumerate(_angles(6))
    )
    forms = (
        slices,
        "".join(f'<rect x="{71 + 4.5 * at}" y="71" width="4.5" height="18" fill="{(ink, other)[at % 2]}"/>' for at in range(4)),
        f'<path fill="{ink}" d="M71 71H80C76 77 84 83 80 89H71Z"/><path fill="{other}" d="M89 71H80C76 77 84 83 80 89H89Z"/>',
        f'<defs><path id="side" d="M80 71H71V89H80Z"/></defs><use href="#side" fill="{ink}"/>'
        f'<use href="#side" fill="{other}" transform="matrix(-1 0 0 1 160 0)"/>',
        f'<g fill="{ink}"><polygon points="71,71 89,71 80,80"/><polygon points="89,71 89,89 80,80"/>'
        '<polygon points="89,89 71,89 80,80"/><polygon points="71,89 71,71 80,80"/></g>',
    )
    return f'<g transform="rotate({turn:.2f} 80 80)">{chance.choice(forms)}</g>'
