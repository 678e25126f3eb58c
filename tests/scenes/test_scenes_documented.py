"""Every key of a picture's record stands in the developers' page, and no other does."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

from vectorprep.model import SceneRecord

PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"


def test_every_key_is_described() -> None:
    """The table under "Scenes" names the fields of the record, each once."""
    section = PAGE.read_text(encoding="utf-8").split("\n## Scenes\n", 1)[1].split("\n## ", 1)[0]
    rows = [row.split("|")[1] for row in section.splitlines() if row.startswith("| `")]
    assert sorted(key for row in rows for key in re.findall(r"`(\w+)`", row)) == sorted(field.name for field in fields(SceneRecord))
