"""`python -m fixbook`."""

from __future__ import annotations

import sys

from fixbook.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
