"""`python -m vectorprep`: the same command.

Comes in: the command line. Goes out: an exit code. Never done here: anything else.
"""

from __future__ import annotations

import sys

from vectorprep.cli import main

if __name__ == "__main__":
    sys.exit(main())
