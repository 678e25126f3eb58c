"""The index of fonts: bundled faces, folders, weights, glyphs, and no dependence on the machine."""

from __future__ import annotations

import pickle
import shutil
from pathlib import Path

import font_caladea
import pytest

from vectorprep.errors import UsageError
from vectorprep.fonts import FontIndex, load_index

BUNDLED = FontIndex(system=False)


def test_bundled_families_are_always_there() -> None:
    """Both bundled families are found by name, in any letter case, with their file."""
    for family in ("Fredoka One", "caladea"):
        face = BUNDLED.find((family,))
        assert face is not None
        assert face.family.lower() == family.lower()
        assert face.path in BUNDLED.files


@pytest.mark.parametrize("generic", ["serif", "sans-serif", "cursive", "fantasy", "monospace", "system-ui"])
def test_generic_families_are_bundled_whatever_the_machine_has(generic: str) -> None:
    """A generic family gives the same face with and without the machine's fonts."""
    with_machine, without = load_index().find((generic,)), BUNDLED.find((generic,))
    assert with_machine == without
    assert without is not None


def test_generic_family_follows_the_settings() -> None:
    """A choice for a generic family beats the bundled one."""
    face = load_index(system=False, generics={"sans-serif": "Caladea"}).find(("sans-serif",))
    assert face is not None
    assert face.family == "Caladea"


@pytest.mark.parametrize(
    ("weight", "italic", "found"),
    [
        (400, False, (400, False)),
        (700, True, (700, True)),
        (600, False, (700, False)),
        (300, True, (400, True)),
        (500, False, (400, False)),
    ],
)
def test_nearest_weight_is_that_of_css(weight: int, italic: bool, found: tuple[int, bool]) -> None:
    """Of the weights 400 and 700 the one that CSS Fonts 4, 'font style matching', picks."""
    face = BUNDLED.find(("Caladea",), weight, italic)
    assert face is not None
    assert (face.weight, face.italic) == found


def test_first_family_that_is_there_wins() -> None:
    """The list is walked in order; none at all is None."""
    face = BUNDLED.find(("No Such Face", "Caladea", "Fredoka One"))
    assert face is not None
    assert face.family == "Caladea"
    assert BUNDLED.find(("No Such Face",)) is None


def test_missing_characters_are_named_once_in_order() -> None:
    """Letters without a glyph are told; blanks and invisible marks never are."""
    face = BUNDLED.find(("Caladea",))
    assert face is not None
    assert face.missing("a \u4e2d\u200b\u4e2d\u6587\n") == "\u4e2d\u6587"


def test_folder_is_searched_below_and_broken_files_passed_over(tmp_path: Path) -> None:
    """Fonts in sub-folders count, a file that is no font does not stop the search."""
    (tmp_path / "sub").mkdir()
    (tmp_path / "broken.ttf").write_bytes(b"no font")
    shutil.copy(font_caladea.font_files["CaladeaBold"], tmp_path / "sub" / "mine.ttf")
    index = load_index((str(tmp_path),), system=False)
    assert str(tmp_path / "sub" / "mine.ttf") in index.files
    assert index.find(("Caladea",), 700) is not None


def test_missing_folder_is_a_usage_error() -> None:
    """A folder that is not there stops the run with its name."""
    with pytest.raises(UsageError, match="no such folder of fonts"):
        load_index(("/no/such/folder",))


def test_index_crosses_a_process_border() -> None:
    """A copy by pickle finds the same faces."""
    copy = pickle.loads(pickle.dumps(BUNDLED))
    assert copy.find(("Caladea",), 700) == BUNDLED.find(("Caladea",), 700)
