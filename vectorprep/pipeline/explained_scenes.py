"""What may be said of the pictures that artworks are put on: cause, consequence, remedy.

Nothing comes in; sentences go out. Never done here: anything else.
"""

from __future__ import annotations

from vectorprep.model import Explanation


def _text(cause: str, consequence: str, remedy: str) -> Explanation:
    return Explanation(cause=cause, consequence=consequence, remedy=remedy)


LEFT_OUT = "No pictures are made from this file; those from other files are, and print files do not depend on it."

OF_SCENES = {
    "scene-no-area": _text(
        "No path with the id 'area' marks where the print goes.",
        LEFT_OUT,
        "Draw a path with four corners around the print area and set its id to 'area' in the editor's object properties.",
    ),
    "scene-area-corners": _text(
        "The path of the area has not exactly four corners, or is no single path.",
        LEFT_OUT,
        "Draw one path of four sides, beginning at the artwork's top-left corner; sides may be curves without sharp turns.",
    ),
    "scene-area-crossed": _text(
        "The sides of the area cross each other, or enclose nothing.",
        LEFT_OUT,
        "Draw the corners in turn: top left, top right, bottom right, bottom left of the artwork.",
    ),
    "scene-area-outside": _text(
        "The area lies wholly outside the picture.",
        LEFT_OUT,
        "Move it onto the picture, or make the page as large as the picture.",
    ),
    "scene-area-stretched": _text(
        "A flat area has other proportions than the product's print area.",
        "Artworks come out too wide or too high on this picture; the print files are right.",
        "Draw the area around the whole print area in its true proportions; state area = quad where the product is seen slanting.",
    ),
    "scene-photograph-missing": _text(
        "The photograph that the drawing links to does not lie beside it, or cannot be read.",
        LEFT_OUT,
        "Put it into the same folder, or embed it in the drawing.",
    ),
    "scene-photograph-broken": _text(
        "The photograph is cut short, damaged, or of a kind that is not read.",
        LEFT_OUT,
        "Save it again as JPEG, PNG, WebP or TIFF.",
    ),
    "scene-photograph-too-big": _text(
        "The photograph has more than 80 megapixels or 60 MB.", LEFT_OUT, "Scale it to the size of the pictures you need."
    ),
    "scene-photograph-hidden": _text(
        "The photograph is hidden in the drawing, or has no size.", LEFT_OUT, "Show it and give it a width and a height."
    ),
    "scene-many-photographs": _text("The drawing holds more than one photograph.", LEFT_OUT, "Make one file for each photograph."),
    "scene-record": _text(
        "What the file states of itself holds unknown keys, wrong values, or no products.",
        LEFT_OUT,
        "Mend the keys named; the metadata or a TOML file of the same name may state them.",
    ),
    "scene-crop": _text(
        "The part of the page that is to be shown is empty.",
        LEFT_OUT,
        "Write left, top, right and bottom of crop_px in px of the page.",
    ),
    "scene-licence-missing": _text(
        "It is not stated where the picture comes from, or under which licence it may be used.",
        "Pictures are made all the same; whether you may publish them nobody can tell later.",
        'State source and licence, for example source = "taken by me, 2026" and licence = "own work".',
    ),
    "scene-colours": _text(
        "A photograph was brought to sRGB, through its own profile where it has one.",
        "Pictures are sRGB, which is what browsers take them for; very strong colours of a wider space come out a little duller.",
        "Nothing, unless the colours look wrong; then embed the right profile in the photograph.",
    ),
    "scene-blank-guessed": _text(
        "The photograph does not say which blank it shows, so that the nearest of those asked for was taken.",
        "Pictures from it are made for that blank alone; its ink may have been changed for another colour than the cloth shown.",
        "State blanks in its record.",
    ),
}
