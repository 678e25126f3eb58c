"""The review sheet as one HTML file that needs nothing but its pictures: style, script and data stand in it.

Comes in: the values of a sheet. Goes out: the text of a page that opens from disk, reads without script, and asks no network.
Never done here: files, figures.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from vectorprep.report.sheet import GENERATOR

FOLDER = "web"
SCRIPTS = ("base.js", "decisions.js", "answers.js", "bench.js", "list.js")


@cache
def _environment() -> Environment:
    loader = PackageLoader("vectorprep.report", FOLDER)
    return Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)


def review_page(sheet: Mapping[str, Any]) -> str:
    """The page of a sheet.

    Args:
        sheet: from `sheet_of`.
    """
    environment = _environment()
    script = "\n".join(_source(name) for name in SCRIPTS)
    return environment.get_template("review.html").render(
        sheet=sheet,
        generator=GENERATOR,
        style=Markup(_source("review.css")),
        script=Markup(script),
        digest=_digest(script),
        data=Markup(_json(sheet)),
    )


def _source(name: str) -> str:
    """One of the page's own files, not read as a template."""
    environment = _environment()
    assert environment.loader is not None, "the environment is made with one"
    return environment.loader.get_source(environment, name)[0].strip()


def _digest(script: str) -> str:
    """By which the browser knows the one script that may run (Content Security Policy 3, hash source)."""
    return base64.b64encode(hashlib.sha256(f"\n{script}\n".encode()).digest()).decode()


def _json(sheet: Mapping[str, Any]) -> str:
    """JSON that can stand inside a script element: nothing in it ends or opens one."""
    text = json.dumps(sheet, ensure_ascii=False, separators=(",", ":"))
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")
