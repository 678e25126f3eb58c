"""What each finding and error code of the reader means: cause, consequence in print, remedy.

Nothing comes in; sentences go out. Never done here: anything else.
"""

from __future__ import annotations

from dataclasses import replace

from vectorprep.model import Explanation


def _text(cause: str, consequence: str, remedy: str) -> Explanation:
    return Explanation(cause=cause, consequence=consequence, remedy=remedy)


_PLAIN = "Export the drawing again as plain SVG."
_SIMPLIFY = "Simplify the drawing in its editor."

_NOTES: dict[str, Explanation] = {
    # findings
    "namespace-missing": _text("The root element does not say that it is SVG.", "Nothing: it is read as SVG all the same.", _PLAIN),
    "prefix-undeclared": _text(
        "A name uses a prefix that the file does not declare.", "Nothing, unless another program refuses the file.", _PLAIN
    ),
    "stylesheet-link-dropped": _text(
        "The file names a style sheet outside itself, which is never opened.",
        "Colours and line widths set there are missing.",
        "Embed the styles in the drawing.",
    ),
    "css-import-dropped": _text(
        "A style sheet imports another one from outside the file, which is never opened.",
        "Colours and line widths set there are missing.",
        "Copy the imported rules into the drawing.",
    ),
    "font-link-dropped": _text(
        "A style sheet brings a font along by link or as data; only installed fonts and given folders are used.",
        "Text may be set in another face.",
        "Install the font, pass its folder with --fonts, or convert the text to outlines.",
    ),
    "media-rule-left-out": _text(
        "Style rules are meant for another medium or screen.",
        "The drawing prints as it looks on an ordinary screen in a light scheme.",
        "Remove the media rule if its styles are wanted.",
    ),
    "css-rule-left-out": _text(
        "A style rule has a selector that cannot be understood.",
        "Its colours and line widths are missing.",
        "Set the style on the object itself.",
    ),
    "script-dropped": _text(
        "The drawing carries scripts or event handlers, which are never run.",
        "What a script would draw is missing.",
        "Save the finished picture as plain SVG.",
    ),
    "animation-dropped": _text(
        "The drawing is animated; a print is still.",
        "The drawing prints as it stands without its animation.",
        "Save the wanted frame as plain SVG.",
    ),
    "foreign-object-dropped": _text(
        "The drawing holds web content (foreignObject), which is not SVG.",
        "That part, often text, is missing from the print.",
        "Convert it to text or shapes in the drawing's editor.",
    ),
    "element-not-drawn": _text(
        "The drawing holds a kind of object that print renderers do not draw.",
        "That part is missing from the print.",
        "Convert it to paths, or turn it into a picture, in the drawing's editor.",
    ),
    "feature-not-drawn": _text(
        "The drawing uses an effect that print renderers do not support.",
        "That part prints without the effect.",
        "Flatten the effect in the drawing's editor.",
    ),
    "filter-reduced": _text(
        "A filter asks for more detail than can be seen.", "No visible change.", "Nothing, or lower the setting."
    ),
    "condition-not-met": _text(
        "A part is meant for another program or language only.",
        "That part is missing from the print.",
        "Remove the condition if the part is wanted.",
    ),
    "reference-missing": _text(
        "Something refers to a part that is not in the file.",
        "That object prints without it, or not at all.",
        "Repair or remove the object in the drawing's editor.",
    ),
    "reference-loop": _text(
        "Something refers to itself, directly or through others.",
        "The object is left out at the point where it would repeat.",
        "Unlink the clone in the drawing's editor.",
    ),
    "link-dropped": _text(
        "A part that cannot be seen links to something outside the file.",
        "Nothing visible is lost.",
        "Remove the hidden part, or embed what it links to.",
    ),
    "picture-empty": _text("A picture object has no content.", "Nothing is drawn there.", "Remove it, or embed the picture again."),
    "page-size-guessed": _text(
        "The file does not state a usable page size.",
        "The size in mm, where a product asks for the original size, may be wrong.",
        "Set width, height and viewBox in the drawing's editor.",
    ),
    "source-unit-suspect": _text(
        "The page was probably sized at 90 or 72 units an inch, as some editors do, while CSS means 96.",
        "Where a product asks for the original size, the print comes out 6 % or 25 % off.",
        "Set units_per_inch for this artwork in the settings, or save the drawing with its size in mm or in.",
    ),
    "font-missing-or-substituted": _text(
        "Live text asks for a font, or a character, that is not to be had.",
        "The words print in another face, with other widths, or with empty boxes.",
        "Convert the text to outlines, install the font, or pass its folder with --fonts.",
    ),
    "text-direction-marks": _text(
        "Live text holds invisible characters that turn the direction of writing.",
        "Words may print in another order than they are stored.",
        "Convert the text to outlines, or remove the marks if they are not wanted.",
    ),
    "font-resolved": _text(
        "Live text names a generic family, or several.",
        "It prints in the face named here, on every machine.",
        "Name one font and pass its folder with --fonts, or convert the text to outlines, if another face is wanted.",
    ),
    "font-weight-missing": _text(
        "The font is there, the weight asked for is not.",
        "Strokes print lighter or heavier than drawn.",
        "Install the weight, or convert the text to outlines.",
    ),
    "page-rectangle-behind-art": _text(
        "A plain rectangle covers the page below everything else.",
        "It prints as a solid block around the artwork.",
        "Delete it, or set background to drop in the settings.",
    ),
    "colour-not-exact": _text(
        "A colour is written in a way that 8-bit sRGB cannot hold exactly.",
        "It prints in the nearest colour.",
        "Choose the colour again as sRGB.",
    ),
    "colour-invalid": _text(
        "A colour is written in a way that no colour is meant by.",
        "CSS leaves it out, so the object takes the colour around it or black.",
        "Choose the colour again in the drawing's editor.",
    ),
}
_REFUSALS: dict[str, Explanation] = {
    "file-empty": _text("The file holds nothing.", "There is nothing to print.", "Export the drawing again."),
    "file-too-big": _text("The file is bigger than any drawing needs.", "It is not read.", _SIMPLIFY),
    "not-svg": _text(
        "The content is of another kind than the name says.", "There is no drawing to print.", "Export the drawing as SVG."
    ),
    "gzip-broken": _text(
        "The compressed file is damaged or cut off.", "Parts of the drawing would be missing.", "Export or copy it again."
    ),
    "gzip-too-big": _text("The compressed file unpacks to too much.", "It is not read.", _SIMPLIFY),
    "gzip-nested": _text("The file is compressed more than once.", "It is not read.", "Unpack it once."),
    "encoding-not-supported": _text(
        "The file is written in a rare encoding.", "It is not read, lest letters change.", "Save it as UTF-8."
    ),
    "encoding-broken": _text(
        "The bytes do not fit the encoding that the file states.", "Letters would change.", "Save it as UTF-8."
    ),
    "xml-broken": _text(
        "The file is not well-formed XML.", "Parts of the drawing would be missing.", "Open it in its editor and export it again."
    ),
    "entity-external": _text(
        "An entity stands for content outside the file, which is never opened.", "That part would be missing.", _PLAIN
    ),
    "entity-parameter": _text("The DOCTYPE uses parameter entities.", "Parts of the drawing could be missing.", _PLAIN),
    "entity-bomb": _text("Entities expand to an enormous text.", "It is not read.", _PLAIN),
    "entity-loop": _text("An entity contains itself.", "It is not read.", _PLAIN),
    "entity-undefined": _text("An entity is used that the file does not define.", "A letter would be missing.", _PLAIN),
    "nesting-too-deep": _text("Groups are nested deeper than renderers can follow.", "It is not read.", "Ungroup the drawing."),
    "too-many-elements": _text("The drawing has more elements than the limit.", "It is not read.", _SIMPLIFY),
    "too-many-attributes": _text("An element carries more attributes than the limit.", "It is not read.", _PLAIN),
    "text-too-long": _text(
        "The drawing holds as much live text as a book.",
        "It is refused: setting it would take minutes.",
        "Convert the text to outlines, or shorten it.",
    ),
    "gradient-too-fine": _text(
        "Gradients have thousands of stops.",
        "It is refused: each picture of it would take minutes, and no eye tells so many apart.",
        "Use fewer stops; a few dozen look the same in print.",
    ),
    "too-many-dashes": _text(
        "A dash pattern is so short that lines fall into hundreds of thousands of dashes.",
        "It is refused: a renderer leaves such lines out without a word, and they print as grey.",
        "Use longer dashes, or a solid line in a lighter colour.",
    ),
    "pattern-too-fine": _text(
        "A pattern's tile is so small that it repeats millions of times over the page.",
        "It is refused: a renderer leaves it out without a word, and it prints as a flat tone.",
        "Use larger tiles, or a flat colour.",
    ),
    "pattern-too-large": _text(
        "A pattern's tile is many times as large as the page.",
        "It is refused: a tile is held in memory whole.",
        "Make the tile as large as what it fills.",
    ),
    "style-sheet-too-big": _text("The style sheets are larger than the limit.", "It is not read.", _SIMPLIFY),
    "number-out-of-range": _text(
        "A number is infinite, no number, or beyond what renderers hold.",
        "The object would vanish or land elsewhere.",
        "Bring the drawing near the page and save it again.",
    ),
    "path-too-long": _text("A path has more characters than the limit.", "It is not read.", _SIMPLIFY),
    "page-size-invalid": _text(
        "The page has no size, or an absurd one.", "Nothing can be placed.", "Set the page size in the drawing's editor."
    ),
    "link-refused": _text(
        "A visible part links to a file or address outside the drawing, which is never opened.",
        "That part would be missing from the print.",
        "Embed the linked picture or part, then save again.",
    ),
    "image-not-embedded": _text(
        "A picture of the drawing is a link to another file or address, which is never opened.",
        "The picture would be missing from the print; the artwork is not made.",
        "Embed the picture in the drawing (export it with pictures embedded), then run again.",
    ),
    "picture-broken": _text(
        "An embedded picture is damaged, or of a kind other than PNG, JPEG, GIF, WebP, SVG.",
        "The picture would be missing from the print.",
        "Embed it again as PNG or JPEG.",
    ),
    "picture-too-big": _text(
        "Embedded pictures have more pixels than the limit.", "They are not read.", "Scale them to their printed size at 300 ppi."
    ),
    "picture-too-often": _text(
        "Embedded pictures are drawn again and again, each time at the cost of a whole copy.",
        "It is not read.",
        "Make the pictures smaller, draw them fewer times, or put them together into one.",
    ),
    "picture-nested-too-deep": _text(
        "Drawings are embedded in drawings too many times over.", "It is not read.", "Embed the inner drawing as shapes."
    ),
    "reference-bomb": _text(
        "Clones of clones expand to an enormous number of objects.", "It is not read.", "Unlink clones in the drawing's editor."
    ),
    "reference-chain-too-long": _text(
        "References lead on from one to the next too many times.", "It is not read.", "Unlink clones in the drawing's editor."
    ),
    "filter-too-costly": _text(
        "A filter effect is larger than the page or has too many steps.",
        "Drawing it at print size would take hours.",
        "Reduce the effect, or turn it into a picture.",
    ),
}
EXPLANATIONS: dict[str, Explanation] = {
    **_NOTES,
    **{slug: replace(text, is_refusal=True) for slug, text in _REFUSALS.items()},
}
"""Everything the reader has to say, by slug."""
