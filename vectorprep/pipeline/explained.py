"""All findings and refusals there are: those of the reader, of the checks, and of measuring, placing, drawing, files.

Comes in: nothing. Goes out: explanations by slug. Never done here: finding anything.
"""

from __future__ import annotations

from dataclasses import replace

from vectorprep import checks
from vectorprep.model import Explanation
from vectorprep.pipeline.explained_scenes import LEFT_OUT, OF_SCENES
from vectorprep.read.explanations import EXPLANATIONS as OF_READING


def _text(cause: str, consequence: str, remedy: str) -> Explanation:
    return Explanation(cause=cause, consequence=consequence, remedy=remedy)


_NOT_MADE = "Nothing of this artwork is delivered; the others go on."
_NO_RUN = "Nothing is made."
_AGAIN = "Run the same convert command again; it makes what is missing or altered and keeps the rest."

OF_MEASURING = {
    "no-ink": _text(
        "Nothing on the page has 3 % coverage or more: layers are hidden, opacity is zero, or the art lies off the page.",
        _NOT_MADE,
        'Show the hidden layers, check opacity, move the art onto the page, or set page = "recover" for art that lies beside it.',
    ),
    "ink-outside-page": _text(
        "Some of the art reaches beyond the page, which clips it.",
        "What lies outside is cut off in the print, with a straight edge.",
        'Move the art onto the page or enlarge the page; page = "recover" in the artwork\'s settings prints all of it.',
    ),
    "ink-touches-page-edge": _text(
        "Ink ends exactly at the edge of the page, so that something may have been cropped there.",
        "If it was cropped, the print shows a straight cut.",
        'Give the art some room on the page, or set page = "recover" if more of it lies beyond.',
    ),
    "page-rectangle-behind-art": _text(
        "A plain rectangle as large as the page lies behind everything, often left over from drawing.",
        "It is printed as a solid rectangle around the art, and the art is sized by it.",
        'Delete it, or set background = "drop" in the artwork\'s settings; background = "keep" says that it belongs there.',
    ),
    "stray-ink": _text(
        "A small speck of ink lies far from the rest of the art.",
        "It is printed, and it makes the ink box larger, so that the art itself comes out smaller and off centre.",
        "Delete the speck at the place named, or accept the finding if it belongs to the design.",
    ),
    "any-ink-differs": _text(
        "Very faint ink (under 3 % coverage) reaches beyond the ink that is seen, for example the tail of a blur.",
        "Placement goes by what is seen; the faint part is still printed around it, as a haze on processes with a white base.",
        "Cut the fade off, or remove the effect.",
    ),
    "strips-empty": _text(
        "The fine look at the edges of the art saw nothing where the coarse one saw ink.",
        "The ink box may be uncertain by more than a pixel.",
        "Report the drawing; the picture itself is drawn as always.",
    ),
}
OF_PLACING = {
    "no-room": _text(
        "Margins, keep-out zones or the grid leave no room for ink in the product's print area.",
        "The artwork is not made for this product.",
        "Check the product's record: print area, safe margin, offsets.",
    ),
    "too-small": _text(
        "At the printed size the art would be less than a pixel wide or high.",
        "The artwork is not made for this product.",
        "Check its page for a stray element that makes the ink box very long or very high.",
    ),
    "nudge-outside": _text(
        "The nudge in the settings pushes the ink off the print area.",
        "The artwork is not made for this product.",
        "Make the nudge smaller, or print the art smaller.",
    ),
}
OF_DRAWING = {
    "engine-fault": _text(
        "The rasteriser stopped at this drawing.",
        _NOT_MADE,
        "Simplify the drawing in its editor or save it as plain SVG; try another engine with --engine.",
    ),
    "too-costly-to-draw": _text(
        "Two small trials show that the drawing would take longer at the size of a print than it is given: filters, patterns,"
        " see-through groups or very many shapes cost time with every pixel.",
        _NOT_MADE,
        "Simplify what is named, turn heavy effects into a picture, or give it more time with --time-limit.",
    ),
    "engine-failed": _text(
        "A writer of files, such as the one for PDF, stopped at this drawing.",
        _NOT_MADE,
        "Simplify the drawing in its editor, or take that kind of file out of the product's outputs.",
    ),
    "engine-size": _text(
        "The rasteriser drew another size than asked for.", _NOT_MADE, "Check width, height and viewBox of the drawing."
    ),
    "canvas-too-big": _text(
        "The canvas is above 400 megapixels.", _NOT_MADE, "Lower the product's resolution_ppi or its print area."
    ),
    "canvas-empty": _text("The canvas has no area.", _NOT_MADE, "Check the product's print area and resolution."),
    "png-verify": _text("A picture did not read back as it was written.", _NOT_MADE, "Run again; report it if it happens twice."),
}
OF_DECIDING = {
    "decision-stale": _text(
        "The settings of this artwork were decided for another version of its drawing.",
        "Findings that were accepted then are reported again; sizes, colours and other choices still hold.",
        "Look at the drawing on the review sheet and decide again, or take decided_for out of its table in the settings.",
    ),
}
OF_LOOKING_TWICE = {
    "effect-not-rendered": _text(
        "A second renderer draws a part of the drawing differently: an effect, a mask or a text that not every program knows.",
        "What you see in your drawing program may not be what is printed.",
        "Look at the place named in the preview; turn the effect into plain shapes if it is wrong there.",
    ),
}
OF_REMEDIES = {
    "remedy-applied": _text(
        "The settings ask for a remedy (see_through, clear_mist, knock_out_black), and it changed this picture.",
        "The print file differs from the drawing in the way that the message states, measured before and after by the same check.",
        "Look at the print file at the place named. To print the art as drawn, take the line out of the settings.",
    ),
}
OF_FILES = {
    "foreign-file": _text(
        "A file that this tool did not make lies at the name of an output.",
        "It is left as it is, and the artwork is not delivered.",
        "Move it away, choose another out folder, or replace it with --force.",
    ),
    "source-changing": _text(
        "The drawing was being written while it was read.", _NOT_MADE, "Save it, then run the same command again."
    ),
    "source-vanished": _text("The drawing was there when the run began and is gone.", _NOT_MADE, "Put it back or leave it out."),
    "source-unreadable": _text("The drawing may not be read.", _NOT_MADE, "Check its permissions."),
    "source-not-a-file": _text("Something that is no plain file has the name of a drawing.", _NOT_MADE, "Remove or rename it."),
    "source-too-large": _text(
        "The drawing's file is larger than 20 MB.", _NOT_MADE, "Take large pictures out of it or save them smaller."
    ),
    "file-missing": _text("A file that the manifest names is not in the out folder.", "It cannot be sent to the printer.", _AGAIN),
    "file-altered": _text("The bytes of a file are not those that were made.", "What would be printed is unknown.", _AGAIN),
    "size-differs": _text("The picture has another size in pixels than the manifest says.", "It prints at another size.", _AGAIN),
    "density-differs": _text("The picture's density tag is not the manifest's.", "A printer may take it for another size.", _AGAIN),
    "ink-box-differs": _text(
        "The ink lies elsewhere in the picture than the manifest says.", "It prints at another place.", _AGAIN
    ),
    "manifest-damaged": _text("The manifest cannot be read.", "Nobody can tell which file is for which product.", _AGAIN),
    "manifest-inconsistent": _text("The manifest contradicts itself.", "It was altered by hand or cut.", _AGAIN),
    "made-from-earlier-file": _text(
        "A gang sheet or proof was made from a file that has been made anew since.",
        "It shows the drawing as it was.",
        "Run vectorprep gang or vectorprep proof again.",
    ),
    "too-large-for-film": _text(
        "A picture's ink is larger than the film between its margins, either way round.",
        "It is not on the sheets; the others are.",
        "Use a wider film, a longer sheet or a smaller margin, or print the art smaller.",
    ),
}
OF_THE_CLUSTER = {
    "cluster-missing": _text("dask.distributed is not installed.", _NO_RUN, "pip install 'vectorprep[cluster]'."),
    "scheduler-unreachable": _text("No scheduler answers at the address.", _NO_RUN, "Start one with 'dask scheduler'."),
    "cluster-empty": _text("The scheduler has no workers.", _NO_RUN, "Start some with 'dask worker ADDRESS'."),
    "cluster-unlike": _text(
        "A worker of the cluster has other versions of this tool, its rasteriser or its encoder.",
        "Its files would differ from those made here, so that the run stops; what is made is kept.",
        "Install the same versions on all workers.",
    ),
    "scheduler-lost": _text(
        "The scheduler went away while it had work.",
        "The run stops; what was delivered is kept.",
        "Start it again and run the same command: it goes on from there.",
    ),
    "worker-killed": _text(
        "Every worker that took the artwork was ended from outside.",
        _NOT_MADE,
        "Free some memory, then run the same command again.",
    ),
}


def explanations() -> dict[str, Explanation]:
    """What every finding and refusal means, by slug."""
    stopping = {**OF_PLACING, **OF_DRAWING, **OF_FILES, **OF_THE_CLUSTER, "no-ink": OF_MEASURING["no-ink"]}
    stopping |= {slug: text for slug, text in OF_SCENES.items() if text.consequence == LEFT_OUT}
    return {
        **OF_READING,
        **OF_MEASURING,
        **OF_DECIDING,
        **OF_LOOKING_TWICE,
        **OF_REMEDIES,
        **OF_SCENES,
        **{slug: replace(text, is_refusal=True) for slug, text in stopping.items()},
        **checks.explanations(),
    }
