"""The index of fonts: bundled ones, those of given folders, those of the machine.

Comes in: folders.
Goes out: a `FontIndex` that finds a face for a list of families, and lists the files a renderer needs.
Never done here: drawing, or keeping anything on disk. Nothing is opened before it is asked for; the machine's folders are
searched only when a family is found neither in the bundled fonts nor in the given folders.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

import font_caladea
import font_fredoka_one

from vectorprep.errors import UsageError
from vectorprep.fonts.faces import FontFace, faces_of

_SUFFIXES = (".ttf", ".otf", ".ttc", ".otc")
_MAX_FILES = 20_000  # of all folders, house value

_SANS, _SERIF = "Fredoka One", "Caladea"

GENERIC_FAMILIES: Mapping[str, str] = {
    "sans-serif": _SANS,
    "cursive": _SANS,
    "fantasy": _SANS,
    "system-ui": _SANS,
    "ui-sans-serif": _SANS,
    "ui-rounded": _SANS,
    "serif": _SERIF,
    "ui-serif": _SERIF,
    "monospace": _SERIF,
    "ui-monospace": _SERIF,
    "math": _SERIF,
    "emoji": _SERIF,
    "fangsong": _SERIF,
}
"""Bundled family that each generic family of CSS Fonts 4 stands for, on every machine alike."""


class FontIndex:
    """Faces by family. Bundled fonts first, then the given folders, then the machine's, so that results travel."""

    def __init__(self, folders: tuple[str, ...] = (), *, system: bool = True, generics: Mapping[str, str] | None = None) -> None:
        self.folders = folders
        self.system = system
        self.generics = {**GENERIC_FAMILIES, **{key.lower(): value for key, value in (generics or {}).items()}}
        self._own: dict[str, list[FontFace]] | None = None
        self._machine: dict[str, list[FontFace]] | None = None

    def __reduce__(self) -> tuple[object, ...]:
        """Crosses a process border as its folders; faces are read again on the other side."""
        return (_rebuilt, (self.folders, self.system, self.generics))

    @property
    def files(self) -> tuple[str, ...]:
        """Every font file of the index, sorted within its source; asks the machine's folders too."""
        found = [*_bundled(), *_files_below(self.folders)]
        if self.system:
            found += _files_below(_machine_folders())
        return tuple(dict.fromkeys(found))

    def find(self, families: Iterable[str], weight: int = 400, italic: bool = False) -> FontFace | None:
        """The face of the first family of the list that is to be had; generic names stand for a bundled family."""
        for family in families:
            face = self.face(self.generics.get(family.lower(), family), weight=weight, italic=italic)
            if face is not None:
                return face
        return None

    def face(self, family: str, *, weight: int = 400, italic: bool = False) -> FontFace | None:
        """The nearest face of one family by CSS Fonts 4 (style before weight), or None where the family is missing."""
        faces = self._faces(family.strip().lower())
        return min(faces, key=lambda face: _distance(face, weight, italic=italic)) if faces else None

    def is_generic(self, family: str) -> bool:
        """Whether a name is one of CSS's generic families."""
        return family.lower() in self.generics

    def _faces(self, key: str) -> list[FontFace]:
        if self._own is None:
            self._own = _by_name([*_bundled(), *_files_below(self.folders)])
        found = self._own.get(key)
        if found or not self.system:
            return found or []
        if self._machine is None:
            self._machine = _by_name(_files_below(_machine_folders()))
        return self._machine.get(key, [])


def load_index(folders: tuple[str, ...] = (), *, system: bool = True, generics: Mapping[str, str] | None = None) -> FontIndex:
    """An index over bundled fonts, the given folders and, if `system`, the machine's own; nothing is read yet.

    Args:
        folders: folders of font files, searched with all below them.
        system: whether families found nowhere else may come from the machine.
        generics: generic family -> family, over the bundled choice.

    Raises:
        UsageError: a folder does not exist.
    """
    for folder in folders:
        if not Path(folder).is_dir():
            raise UsageError(
                f"{folder}: no such folder of fonts", fix="name a folder that holds .ttf or .otf files", code="fonts-folder"
            )
    return FontIndex(tuple(folders), system=system, generics=generics)


def _rebuilt(folders: tuple[str, ...], system: bool, generics: Mapping[str, str]) -> FontIndex:
    return FontIndex(folders, system=system, generics=generics)


def _distance(face: FontFace, weight: int, *, italic: bool) -> tuple[int, int, int, str, int]:
    """How far a face is from what is asked: width, style, weight (CSS Fonts 4, 'font style matching')."""
    width = 0 if face.stretch == "normal" else 1
    return width, int(face.italic != italic), _weight_distance(face.weight, weight), face.path, face.index


def _weight_distance(have: int, want: int) -> int:
    """Steps away, with weights on the wrong side behind all on the right side (lighter first up to 500)."""
    gap = have - want
    if 400 <= want <= 500 and 0 <= gap <= 500 - want:
        return gap
    light_first = want <= 500
    wrong_side = gap > 0 if light_first else gap < 0
    return abs(gap) + (1000 if wrong_side else 0)


def _by_name(files: Iterable[str]) -> dict[str, list[FontFace]]:
    found: dict[str, list[FontFace]] = {}
    for path in files:
        for face in faces_of(path):
            for alias in face.aliases:
                found.setdefault(alias, []).append(face)
    return {name: _closest_named(faces, name) for name, faces in found.items()}


def _closest_named(faces: list[FontFace], name: str) -> list[FontFace]:
    """Faces whose family it is; only where there is none, those that merely go by the name."""
    return [face for face in faces if face.family.lower() == name] or faces


def _bundled() -> list[str]:
    return sorted([*font_fredoka_one.font_files.values(), *font_caladea.font_files.values()])


def _files_below(folders: Iterable[str]) -> list[str]:
    found: list[str] = []
    for folder in folders:
        for parent, names, files in os.walk(folder):
            names.sort()
            found += sorted(str(Path(parent, name)) for name in files if name.lower().endswith(_SUFFIXES))
            if len(found) > _MAX_FILES:
                return found[:_MAX_FILES]
    return found


def _machine_folders() -> list[str]:
    home = Path.home()
    if sys.platform == "win32":
        return [
            str(Path(os.environ.get("WINDIR", "C:/Windows"), "Fonts")),
            str(Path(os.environ.get("LOCALAPPDATA", str(home)), "Microsoft/Windows/Fonts")),
        ]
    if sys.platform == "darwin":
        return ["/System/Library/Fonts", "/Library/Fonts", str(home / "Library/Fonts")]
    return ["/usr/share/fonts", "/usr/local/share/fonts", str(home / ".local/share/fonts"), str(home / ".fonts")]
