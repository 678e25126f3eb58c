"""Clean drawings with one fault planted in each: how many of the faults the checks find, and how often they cry over nothing.

Usage: PYTHONPATH=. python tests/benchmarks/planted_faults.py [--drawings 60] [--seed 1]

Every drawing is a page of 100 x 100 mm, printed at its own size, with shapes well above every limit. A fault has a strength: the
limit over the planted figure (a line of 0.4 mm under a limit of 0.5 mm has strength 1.25), drawn at random around 1. Prints, for
each kind, how many were found from strength 1.5 on, in between, and how many of the drawings without it (strength below 1 / 1.5,
and the same drawing with nothing planted) raise the same finding.
"""

from __future__ import annotations

import argparse
import base64
import io
import math
import random
import sys
from collections.abc import Callable

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from PIL import Image

from tests.benchmarks import planted_more as more
from tests.benchmarks import planted_records as records
from tests.benchmarks import planted_ways as ways
from tests.benchmarks.planted_base import INKS, SURE, Count, Kind, Plant, clean
from tests.checks.given import CATALOGUE, on_blank, page_of
from vectorprep.checks import Evidence, run_checks
from vectorprep.engine import draw_placed, open_engine
from vectorprep.errors import ArtworkRefused
from vectorprep.fonts import load_index
from vectorprep.measure import measure
from vectorprep.model import Limits
from vectorprep.plan import place
from vectorprep.profiles import limits_for
from vectorprep.read import ReadOptions, read_artwork

FONTS = load_index(system=False)
ENGINE = open_engine(font_files=FONTS.files)


# Faults, each at the strength asked for.


def stated(limit: float | None) -> float:
    """A limit that the product's record must state."""
    assert limit is not None
    return limit


def _line(chance: random.Random, width: float) -> str:
    ink, scale = chance.choice(INKS), chance.choice((0.25, 1.0, 4.0))
    turn = f"rotate({chance.uniform(0, 180):.2f} 80 80)"
    forms = (
        f'<path d="M72 80H88" fill="none" stroke="{ink}" stroke-width="{width:.4f}" transform="{turn}"/>',
        f'<path d="M72 80C76 70 84 90 88 80" fill="none" stroke="{ink}" stroke-width="{width:.4f}" transform="{turn}"/>',
        f'<rect x="72" y="80" width="16" height="{width:.4f}" fill="{ink}" transform="{turn}"/>',
        f'<g transform="{turn} translate(72 80) scale({scale})"><path d="M0 0H{16 / scale}" stroke="{ink}" '
        f'style="stroke-width:{width / scale:.5f}px" fill="none"/></g>',
        f'<circle cx="80" cy="80" r="6" fill="none" stroke="{ink}" stroke-width="{width:.4f}"/>',
        f"<style>.hair{{stroke-width:{width:.4f};stroke:{ink};fill:none}}</style>"
        '<polyline class="hair" points="72,74 80,86 88,74"/>',
        f'<path d="M72 80h16v{width:.4f}h-16z" fill="{ink}" transform="{turn}"/>',
    )
    return chance.choice(forms)


def _plant_line(chance: random.Random, strength: float, limits: Limits) -> str:
    return chance.choice((_line, ways.more_lines))(chance, stated(limits.positive_line_min_mm) / strength)


def _gap(chance: random.Random, width: float) -> str:
    ink = chance.choice(INKS)
    turn = f"rotate({chance.uniform(0, 180):.2f} 80 80)"
    half = width / 2
    forms = (
        f'<g transform="{turn}" fill="{ink}"><rect x="72" y="72" width="16" height="{8 - half:.4f}"/>'
        f'<rect x="72" y="{80 + half:.4f}" width="16" height="{8 - half:.4f}"/></g>',
        f'<path transform="{turn}" fill="{ink}" fill-rule="evenodd" d="M71 71h18v18h-18zM74 {80 - half:.4f}h12v{width:.4f}h-12z"/>',
        f'<mask id="slit"><rect x="60" y="60" width="40" height="40" fill="#fff"/><path d="M73 80C76 72 84 88 87 80" fill="none" '
        f'stroke="#000" stroke-width="{width:.4f}"/></mask><g mask="url(#slit)"><circle cx="80" cy="80" r="9.5" fill="{ink}"/></g>',
        f'<g fill="none" stroke="{ink}" stroke-width="3"><circle cx="80" cy="80" r="7.5"/>'
        f'<circle cx="80" cy="80" r="{7.5 - 3 - width:.4f}"/></g>',
    )
    return chance.choice(forms)


def _plant_gap(chance: random.Random, strength: float, limits: Limits) -> str:
    return chance.choice((_gap, ways.more_gaps))(chance, stated(limits.negative_line_min_mm) / strength)


def _plant_dot(chance: random.Random, strength: float, limits: Limits) -> str:
    size, ink = stated(limits.dot_diameter_min_mm) / strength, chance.choice(INKS)
    if chance.random() < 0.5:
        return ways.more_dots(chance, size)
    x, y = chance.uniform(72, 88), chance.uniform(72, 88)
    side = size * math.sqrt(math.pi) / 2  # a square of the same area
    forms = (
        f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{size / 2:.4f}" fill="{ink}"/>',
        f'<rect x="{x:.3f}" y="{y:.3f}" width="{side:.4f}" height="{side:.4f}" fill="{ink}" '
        f'transform="rotate(30 {x:.3f} {y:.3f})"/>',
        f'<path d="M{x:.3f} {y:.3f}h0" stroke="{ink}" stroke-width="{size:.4f}" stroke-linecap="round"/>',
        f'<use href="#seed" x="{x:.3f}" y="{y:.3f}"/><defs><circle id="seed" r="{size / 2:.4f}" fill="{ink}"/></defs>',
    )
    return chance.choice(forms)


def _cap_share(family: str) -> float:
    face = FONTS.find((family,), 400, False)
    assert face is not None
    font = TTFont(face.path)
    glyphs = font.getGlyphSet()
    bounds = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[ord("H")]].draw(bounds)
    assert bounds.bounds is not None
    return float(bounds.bounds[3]) / int(font["head"].unitsPerEm)


CAPS = {family: _cap_share(family) for family in ("Fredoka One", "Caladea")}


def _plant_text(chance: random.Random, strength: float, limits: Limits) -> str:
    family = chance.choice(tuple(CAPS))
    size = stated(limits.cap_height_min_mm) / strength / CAPS[family]
    if chance.random() < 0.6:
        return ways.more_text(chance, family, size)
    scale, ink = chance.choice((0.5, 1.0, 2.0)), chance.choice(INKS)
    return (
        f'<g transform="translate(68 82) scale({scale})"><text font-family="{family}" font-size="{size / scale:.4f}" fill="{ink}">'
        f"{chance.choice(('HINT', 'NOTE', 'THE END'))}</text></g>"
    )


def _plant_soft(chance: random.Random, strength: float, limits: Limits) -> str:
    ink = chance.choice(INKS)
    opacity = chance.uniform(0.25, 0.75)
    if chance.random() < 0.6:
        return ways.more_soft(chance)
    forms = (
        f'<rect x="70" y="70" width="20" height="20" fill="{ink}" fill-opacity="{opacity:.3f}"/>',
        f'<g opacity="{opacity:.3f}"><circle cx="80" cy="80" r="10" fill="{ink}"/></g>',
        f'<linearGradient id="fade"><stop stop-color="{ink}"/>'
        f'<stop offset="1" stop-color="{ink}" stop-opacity="0"/></linearGradient>'
        '<rect x="68" y="70" width="24" height="20" fill="url(#fade)"/>',
        f'<filter id="soft" x="-50%" y="-50%" width="200%" height="200%"><feGaussianBlur stdDeviation="3"/></filter>'
        f'<circle cx="80" cy="80" r="6" fill="{ink}" filter="url(#soft)"/>',
        f'<rect x="70" y="70" width="20" height="20" fill="{ink}" style="opacity:{opacity:.3f}"/>',
    )
    return chance.choice(forms)


def _plant_mist(chance: random.Random, strength: float, limits: Limits) -> str:
    ink, opacity = chance.choice(INKS), chance.uniform(0.012, 0.04)
    if chance.random() < 0.6:
        return ways.more_mist(chance)
    forms = (
        f'<rect x="68" y="68" width="24" height="24" fill="{ink}" fill-opacity="{opacity:.4f}"/>',
        f'<circle cx="80" cy="80" r="12" fill="{ink}" opacity="{opacity:.4f}"/>',
    )
    return chance.choice(forms)


def _plant_seam(chance: random.Random, strength: float, limits: Limits) -> str:
    if chance.random() < 0.6:
        return ways.more_seams(chance)
    ink, other = chance.sample(INKS, 2)
    turn = f"rotate({chance.uniform(5, 85):.2f} 80 80)"
    forms = (
        f'<g transform="{turn}"><rect x="71" y="71" width="9" height="18" fill="{ink}"/>'
        f'<rect x="80" y="71" width="9" height="18" fill="{other}"/></g>',
        f'<g fill="{ink}" transform="{turn}"><path d="M71 71h9v18h-9z"/><path d="M80 71h9v18h-9z"/></g>',
        f'<path d="M71 71L89 76L80 89Z" fill="{ink}"/><path d="M89 76L80 89L90 90Z" fill="{other}"/>',
    )
    return chance.choice(forms)


def _bitmap(chance: random.Random, ppi: float, mode: str = "RGB", form: str = "PNG") -> str:
    width, height = chance.uniform(16, 22), chance.uniform(16, 22)
    size = max(2, round(width / 25.4 * ppi)), max(2, round(height / 25.4 * ppi))
    noise = Image.effect_noise((64, 64), 80).resize(size).convert(mode)
    data = io.BytesIO()
    noise.save(data, form)
    href = f"data:image/{form.lower()};base64," + base64.b64encode(data.getvalue()).decode()
    scale = chance.choice((0.5, 1.0, 3.0))
    return (
        f'<g transform="translate(70 70) scale({scale})"><image width="{width / scale:.4f}" height="{height / scale:.4f}" '
        f'preserveAspectRatio="none" xlink:href="{href}"/></g>'
    )


def _plant_coarse(chance: random.Random, strength: float, limits: Limits) -> str:
    return _bitmap(chance, stated(limits.image_warn_below_ppi) / strength)


def _plant_cmyk(chance: random.Random, strength: float, limits: Limits) -> str:
    return _bitmap(chance, 300, "CMYK", "JPEG")


def _from(plant: Callable[[random.Random, float], str]) -> Plant:
    """A fault that needs no limit of the product."""
    return lambda chance, strength, _limits: plant(chance, strength)


KINDS: dict[str, Kind] = {
    "thin line": Kind("line-too-thin", _plant_line),
    "thin line, sticker": Kind("line-too-thin", _plant_line, product="sticker-kiss-cut"),
    "thin line, mug": Kind("line-too-thin", _plant_line, product="mug-11oz-wrap-sub"),
    "narrow gap": Kind("gap-too-narrow", _plant_gap),
    "narrow gap, mug": Kind("gap-too-narrow", _plant_gap, product="mug-11oz-wrap-sub"),
    "narrow gap, dark cloth": Kind("gap-too-narrow", _plant_gap, product="tee-adult-front-dtg", blank="navy"),
    "small dot": Kind("dot-too-small", _plant_dot),
    "small dot, mug": Kind("dot-too-small", _plant_dot, product="mug-11oz-wrap-sub"),
    "small text": Kind("text-too-small", _plant_text),
    "small text, mug": Kind("text-too-small", _plant_text, product="mug-11oz-wrap-sub"),
    "soft inside": Kind("alpha-soft-interior", _plant_soft, is_graded=False),
    "mist": Kind("alpha-near-zero", _plant_mist, is_graded=False),
    "seam": Kind("seam-hairline", _plant_seam, is_graded=False),
    "coarse bitmap": Kind("image-resolution-low", _plant_coarse),
    "coarse bitmap, poster": Kind("image-resolution-low", _plant_coarse, product="poster-iso-a3"),
    "CMYK bitmap": Kind("image-colour-space", _plant_cmyk, is_graded=False),
    "fine bitmap": Kind("image-resolution-excessive", _from(more.fine_bitmap), finest=2.0),
    "line without white under it": Kind(
        "line-without-white-base", _from(more.line_without_base), product="tee-adult-front-dtg", blank="navy"
    ),
    "stiff solid": Kind(
        "solid-cover-heavy", _from(more.heavy_solid), has_base=False, page=lambda _strength: (280.0, 280.0), finest=1.6
    ),
    "soft inside, its share": Kind("alpha-soft-interior", _from(more.small_soft), has_base=False),
    "mist, its share": Kind("alpha-near-zero", _from(more.small_mist), has_base=False),
    "seam, its length": Kind("seam-hairline", _from(more.short_seam)),
    "low contrast": Kind("contrast-too-low", _from(more.low_contrast)),
    "black on dark cloth": Kind("black-on-dark-cloth", _from(more.black), blank="black", is_graded=False),
    "too many spots": Kind("spot-count-too-high", _from(more.spots), product="tee-adult-front-spot", is_graded=False),
    "gradient for cut film": Kind(
        "gradient-not-printable", _from(more.gradient), product="tee-adult-front-cutfilm", is_graded=False
    ),
    "white without white ink": Kind(
        "white-ink-unavailable", _from(more.white), product="tee-poly-front-sub", blank="natural", is_graded=False
    ),
    "art cut by the page": Kind("ink-touches-page-edge|ink-outside-page", _from(more.at_the_edge), is_graded=False),
    "plate behind the art": Kind("page-rectangle-behind-art", _from(more.plate), is_graded=False, is_behind=True),
    "face that is missing": Kind("font-missing-or-substituted", _from(more.strange_face), is_graded=False),
    "stray speck": Kind("stray-ink", _from(more.far_speck), has_base=False),
    "picture that is not there": Kind("image-not-embedded", _from(more.remote_picture), is_graded=False),
    **records.KINDS,
}


def slugs(content: str, kind: Kind, strength: float = SURE) -> set[str]:
    """Slugs of all findings for content on the kind's product and blank, or the code of its refusal."""
    product, blank = CATALOGUE.products[kind.product], CATALOGUE.blanks[kind.blank]
    product = kind.record(product, strength)
    try:
        artwork = read_artwork(page_of(content, kind.page(strength)), name="case", options=ReadOptions(), fonts=FONTS)
    except ArtworkRefused as refusal:
        return {refusal.code, refusal.check}
    measured = measure(artwork, ENGINE)
    placement = place(measured, product, options=kind.placing(strength))
    raster, placement = draw_placed(ENGINE, artwork, placement)
    on = on_blank(product, blank, measured.inks)
    evidence = Evidence(artwork=artwork, measured=measured, product=product, placement=placement, on_blanks=(on,), raster=raster)
    evidence = kind.setting(evidence, strength)
    return {finding.check for finding in (*artwork.findings, *measured.findings, *run_checks(evidence))}


def raises(content: str, kind: Kind, strength: float = SURE) -> bool:
    """Whether content on the kind's product raises a finding of the kind."""
    return not slugs(content, kind, strength).isdisjoint(kind.slug.split("|"))


def tried(kind: Kind, drawings: int, seed: int) -> Count:
    """One kind of fault on so many drawings."""
    count, limits = Count(), limits_for(CATALOGUE.products[kind.product], CATALOGUE.blanks[kind.blank])
    for number in range(drawings):
        chance = random.Random(f"{seed} {kind.slug} {kind.product} {number}")
        base = clean(chance) if kind.has_base else ""
        strength = 2 ** chance.uniform(-1.2, 1.4) if kind.is_graded else SURE
        strength = min(strength, kind.finest) if kind.finest else strength
        planted = kind.plant(chance, strength, limits)
        planted = planted + base if kind.is_behind else base + (ways.wrapped(chance, planted) if kind.has_base else planted)
        found = raises(planted, kind, strength)
        if strength >= SURE:
            count.sure += 1
            count.found += found
            if not found:
                count.missed.append(f"{strength:.2f}: {planted[len(base) :][:400]}")
        elif strength > 1 / SURE:
            count.between += 1
            count.between_found += found
        else:
            count.clean += 1
            count.alarms += found
            if found:
                count.missed.append(f"alarm {strength:.2f}: {planted[len(base) :][:400]}")
        if number % 3 == 0 and kind.has_base:
            count.clean += 1
            alarm = raises(base, kind)
            count.alarms += alarm
            if alarm:
                count.missed.append(f"alarm, nothing planted: {base[:400]}")
    return count


def write(line: str) -> None:
    """One line of the table, at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    """The table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--drawings", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kind", default="")
    parser.add_argument("--missed", action="store_true", help="also print what was missed")
    asked = parser.parse_args()
    total = Count()
    write(f"{'kind':26}{'found':>10}{'between':>10}{'alarms':>10}")
    for name, kind in KINDS.items():
        if asked.kind and asked.kind not in name:
            continue
        count = tried(kind, asked.drawings, asked.seed)
        between = f"{count.between_found:>5}/{count.between:<4}"
        write(f"{name:26}{count.found:>5}/{count.sure:<4}{between}{count.alarms:>5}/{count.clean:<4}")
        if asked.missed:
            write("\n".join(f"    {line}" for line in count.missed))
        total.sure, total.found = total.sure + count.sure, total.found + count.found
        total.clean, total.alarms = total.clean + count.clean, total.alarms + count.alarms
    write(f"{'all':26}{total.found:>5}/{total.sure:<4}{'':10}{total.alarms:>5}/{total.clean:<4}")


if __name__ == "__main__":
    main()
