"""Verbs, options, printing, exit codes: the only room that prints.

Comes in: the command line. Goes out: text or one JSON object on stdout, messages and progress on stderr, an exit code.
Never done here: the work itself (`pipeline`), and wording of records (`report`).
"""

from __future__ import annotations

import sys


def main(arguments: list[str] | None = None) -> int:
    """Runs the command and returns its exit code; the console script passes it to the system."""
    from vectorprep.cli.app import run
    from vectorprep.run.stop import pass_over_stops

    code = run(sys.argv[1:] if arguments is None else arguments)
    if arguments is None:
        pass_over_stops()
    return code
