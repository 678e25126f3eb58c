"""The program that wrote a drawing, by what the file says of itself.

Comes in: the tree as parsed.
Goes out: a short name with version, or nothing.
Never done here: drawing conclusions.
"""

from __future__ import annotations

from vectorprep.markup.tree import Element

_EDITOR_VERSIONS = (
    ("{http://www.inkscape.org/namespaces/inkscape}version", "Inkscape"),
    ("{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}version", "Sodipodi"),
    ("{http://inkscape.sourceforge.net/DTD/sodipodi-0.dtd}version", "Sodipodi"),
)


def generator_of(root: Element, stated: str) -> str:
    """Name of the editor by its own attributes on the root, else as a comment states; empty where nothing is said."""
    for attribute, editor in _EDITOR_VERSIONS:
        value = root.get(attribute)
        if value:
            return f"{editor} {value.strip()[:40]}"
    return stated
