"""Names of outputs and titles, made from names of drawings.

Comes in: relative paths and stems as the disk gives them, odd characters and all.
Goes out: slugs safe on every common file system and unlike each other there, titles for a shop, names of output files.
Never done here: looking at a disk.

Sources: Microsoft "Naming Files" (reserved names and characters, quoted elsewhere); Unicode NFC and NFKC.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

SLUG_MAX_BYTES = 120
EMPTY_SLUG = "artwork"
_EXTENSION = re.compile(r"\.svg(?:z|\.gz)?$", re.IGNORECASE)
_RESERVED = re.compile(r"(?:con|prn|aux|nul|com[1-9]|lpt[1-9])", re.IGNORECASE)
_FORBIDDEN = frozenset('<>:"/\\|?*#%')
# Cc control, Cs lone surrogates of names that are not UTF-8, Co private, Cn unassigned; Cf (zero width) goes altogether.
_UNSEEN_CATEGORIES = frozenset({"Cc", "Cs", "Co", "Cn"})

_DATE = re.compile(r"(?<!\d)(?:(?:19|20)\d\d([-_.]?)[01]\d\1[0-3]\d|[0-3]?\d[-_.][01]?\d[-_.](?:19|20)\d\d)(?!\d)")
_COPY_NUMBER = re.compile(r"\(\s*\d+\s*\)")
_NOISE_WORD = re.compile(r"(?:final|copy|version|rev|revision)[\d.]*|(?:v|ver|r)\d[\d.]*", re.IGNORECASE)
_COPY_OF = re.compile(r"^\s*copy[\s_-]+of[\s_-]+", re.IGNORECASE)
_CASE_CHANGE = re.compile(r"(?<=[a-zß-öø-ÿ])(?=[A-ZÀ-ÖØ-Þ])|(?<=[A-ZÀ-ÖØ-Þ])(?=[A-ZÀ-ÖØ-Þ][a-zß-öø-ÿ])")
_LONE_DOT = re.compile(r"\.(?!\d)|(?<!\d)\.")
_SEPARATORS = re.compile(r"[\s_\-\u2013\u2014]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class SlugPlan:
    """Slug of each path, and the groups of paths whose plain slugs are one name on some disk (all of them carry a suffix)."""

    slugs: dict[str, str]
    collisions: tuple[tuple[str, ...], ...]


def stem_of(path: str) -> str:
    """The last part of a path without `.svg` or `.svgz`."""
    return _EXTENSION.sub("", path.replace("\\", "/").rsplit("/", 1)[-1])


def slug_from_name(name: str) -> str:
    """A stem safe as part of a file name everywhere: NFC, at most 120 bytes of UTF-8, no spaces, nothing reserved, never empty."""
    text = unicodedata.normalize("NFC", name)
    text = "".join(_safe(char) for char in text if unicodedata.category(char) != "Cf")
    text = re.sub(r"\s+", "-", text.strip())
    text = re.sub(r"-{2,}", "-", text)  # two hyphens part the fields of an output's name
    text = text.lstrip("-.").rstrip("-. ")
    text = unicodedata.normalize("NFC", text)
    return _short_enough(_unreserved(text or EMPTY_SLUG))


def _safe(char: str) -> str:
    if char.isspace():
        return " "
    return "_" if char in _FORBIDDEN or unicodedata.category(char) in _UNSEEN_CATEGORIES else char


def _unreserved(text: str) -> str:
    """Windows reserves device names, with any extension too."""
    base, dot, rest = text.partition(".")
    is_reserved = _RESERVED.fullmatch(unicodedata.normalize("NFKC", base).strip())
    return f"{base}-{EMPTY_SLUG}{dot}{rest}" if is_reserved else text


def _short_enough(text: str) -> str:
    if len(text.encode()) <= SLUG_MAX_BYTES:
        return text
    return _suffixed(text, _digest(text)[:8])


def _suffixed(slug: str, suffix: str) -> str:
    """The slug with a suffix, cut on a character where both would be too long."""
    room = SLUG_MAX_BYTES - len(suffix) - 1
    cut = slug.encode()[:room].decode(errors="ignore").rstrip("-. ")
    return f"{cut}-{suffix}"


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogateescape")).hexdigest()


def collision_key(slug: str) -> str:
    """What a file system without case or with composed accents sees: equal keys are one file there."""
    visible = "".join(char for char in slug if unicodedata.category(char) != "Cf")
    return unicodedata.normalize("NFC", unicodedata.normalize("NFKC", visible).casefold())


def assign_slugs(paths: Sequence[str]) -> SlugPlan:
    """A slug for each relative path; members of a collision all carry a suffix from the hash of their path, whatever the order."""
    plain = {path: slug_from_name(stem_of(path)) for path in paths}
    groups: dict[str, list[str]] = {}
    for path, slug in plain.items():
        groups.setdefault(collision_key(slug), []).append(path)
    collisions = tuple(tuple(sorted(members)) for _key, members in sorted(groups.items()) if len(members) > 1)
    slugs = dict(plain)
    shared = {path for members in collisions for path in members}
    length = 4
    while shared:
        for path in shared:
            slugs[path] = _suffixed(plain[path], _digest(path)[:length])
        keys = Counter(collision_key(slug) for slug in slugs.values())
        # A suffixed name may meet another file's plain one: then both are lengthened or suffixed.
        still = {path for path, slug in slugs.items() if keys[collision_key(slug)] > 1}
        if not still or length >= 64:
            break
        shared |= still
        length += 4
    return SlugPlan(slugs=slugs, collisions=collisions)


def artwork_names(paths: Sequence[str]) -> dict[str, str]:
    """The name of each artwork: its stem, with its folder where two stems are alike."""
    counts = Counter(stem_of(path) for path in paths)
    return {path: stem_of(path) if counts[stem_of(path)] == 1 else _EXTENSION.sub("", path.replace("\\", "/")) for path in paths}


def title_from_name(name: str) -> str:
    """A title of words from a file name: `fox_camp-fire.svg` is "Fox Camp Fire"; versions, copies, dates, counters are dropped."""
    stem = unicodedata.normalize("NFC", stem_of(name))
    seen = "".join(" " if unicodedata.category(char)[0] == "C" else char for char in stem)
    words = _words(_COPY_NUMBER.sub(" ", _DATE.sub(" ", _COPY_OF.sub("", seen))))
    kept = [word for word in words if not _NOISE_WORD.fullmatch(word)] or words or _words(seen)
    return " ".join(word[:1].upper() + word[1:] for word in kept)


def _words(text: str) -> list[str]:
    return [word for word in _SEPARATORS.split(_LONE_DOT.sub(" ", _CASE_CHANGE.sub(" ", text))) if word]


def output_name(
    slug: str,
    product: str,
    *,
    treatment: str = "as-drawn",
    picture_key: str = "",
    blank: str = "",
    is_preview: bool = False,
    extension: str = "png",
) -> str:
    """Name of an output file: artwork, product, then `as-drawn` or the treatment with 4 hex of the picture's key, then the blank.

    Args:
        slug: of the artwork.
        product: key of the product; empty leaves it out.
        treatment: token of the treatment.
        picture_key: hex digest of what is drawn; its first four digits tell pictures of one treatment apart.
        blank: key or `#rrggbb`, for one name per blank.
        is_preview: whether it is a preview.
        extension: without its dot.
    """
    drawn = treatment if treatment == "as-drawn" else f"{treatment}-{picture_key[:4]}"
    parts = [slug, product, drawn, blank.lstrip("#"), "preview" if is_preview else ""]
    return "--".join(part for part in parts if part) + f".{extension}"
