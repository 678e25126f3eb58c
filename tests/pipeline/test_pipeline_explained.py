"""Every finding and refusal can be explained."""

from __future__ import annotations

import re
from pathlib import Path

from vectorprep.pipeline.explained import explanations

PACKAGE = Path(__file__).resolve().parents[2] / "vectorprep"
SLUG = re.compile(r"""(?:\b(?:check|code)=|_finding\(\s*|_refused\(\s*)"([a-z0-9]+(?:-[a-z0-9]+)+)\"""")
OF_THE_RUN = {  # codes that end a whole run: their message says everything and nothing can be accepted
    *(
        "engine-unknown",
        "engine-missing",
        "no-manifest",
        "no-artwork",
        "press-profile",
        "no-previews",
        "nothing-to-prove",
        "report-kind",
        "not-one-drawing",
        "unknown-product",
    ),
    *("gang-missing", "gang-option", "gang-mixed", "nothing-to-lay", "unknown-artwork"),
    *("no-scene", "not-one-scene", "picture-kind", "scene-product", "scene-blank"),
    *("unknown-blank", "unknown-finding", "out-not-a-folder", "folder-busy", "disk-too-small", "out-unsuitable", "no-such-file"),
    *("text-too-large", "text-unreadable", "text-not-utf8", "no-such-folder", "folder-unreadable", "package-incomplete"),
    *("outside-folder", "not-a-file", "no-such-art", "fonts-folder", "ledger-unusable", "markup-not-clean", "disk-eacces"),
}


def slugs_in_the_code() -> set[str]:
    """Slugs that stand in the code where a finding or an error is made."""
    return {slug for path in PACKAGE.rglob("*.py") for slug in SLUG.findall(path.read_text(encoding="utf-8"))}


def test_each_slug_of_a_finding_or_refusal_has_an_explanation() -> None:
    """Whatever an artwork can be told, `explain` can explain."""
    found = slugs_in_the_code()
    assert len(found) > 40
    assert found - set(explanations()) - OF_THE_RUN == set()


def test_an_explanation_says_cause_consequence_and_remedy() -> None:
    """Each part is a sentence."""
    for slug, text in explanations().items():
        for part in (text.cause, text.consequence, text.remedy):
            assert len(part) > 10, slug
            assert part.rstrip().endswith((".", "?", "!")), (slug, part)
