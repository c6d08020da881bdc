"""Where the installed command begins: an interrupt while it still loads ends it without a word."""

from __future__ import annotations

import signal


def start() -> int:
    """Run the command line; give its exit status."""
    wanted = signal.getsignal(signal.SIGINT)
    is_usual = wanted is signal.default_int_handler  # in a shell's background it is ignored
    if is_usual:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    from fixbook.cli.main import main

    if is_usual:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        return main()
    finally:
        if is_usual:
            signal.signal(signal.SIGINT, signal.SIG_IGN)  # all is said; what is left is ending
