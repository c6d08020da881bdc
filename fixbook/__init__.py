"""fixbook: an offline, plugin-based knowledge base for the electronics repair bench."""

from __future__ import annotations

__all__ = ["__version__"]


def __getattr__(name: str) -> str:
    if name == "__version__":
        from importlib.metadata import version  # 35 ms that only `--version` pays

        return version("fixbook")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
