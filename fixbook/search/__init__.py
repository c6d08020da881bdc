"""Search: the only place that knows Whoosh."""

from fixbook.search.index import BUSY, Condition, Index, Progress, State, Updated
from fixbook.search.pages import IndexDamagedError

__all__ = [
    "BUSY",
    "Condition",
    "Index",
    "IndexDamagedError",
    "Progress",
    "State",
    "Updated",
]
