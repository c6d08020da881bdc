"""Units that were here before: the same serial tag within the warranty time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from fixbook.api import DOUBT, Block, TextBlock

from .job import HANDED_OVER, Job, model_key, serial_key
from .store import Store
from .wanted import Wanted


def likely_returns(store: Store, job: Job, warranty_days: int) -> list[Job]:
    """Give the jobs that this one may be a return of, the newest first."""
    if not serial_key(job.serial):
        return []
    there = store.find(Wanted(serial=job.serial))
    return [one for one in there if _may_be_return(job, one, warranty_days)]


def _may_be_return(job: Job, earlier: Job, warranty_days: int) -> bool:
    models = {model_key(job.model), model_key(earlier.model)} - {""}
    if earlier.number == job.number or earlier.stage != HANDED_OVER or len(models) > 1:
        return False
    out = earlier.handed_over or earlier.booked_in
    back = job.booked_in or date.today()
    return out is not None and out <= back <= out + timedelta(days=warranty_days)


def returns_block(job: Job, earlier: Sequence[Job]) -> list[Block]:
    """Point out likely returns; nothing where there is none, or one is recorded."""
    if not earlier or job.return_of:
        return []
    first = earlier[0]
    out = first.handed_over or first.booked_in
    text = (
        f"Serial tag {job.serial} went out as job {first.number} on {out} "
        f"({first.outcome or 'no outcome'}; {first.complaint or 'no complaint recorded'}), within "
        f"the warranty time. If it is the same complaint: fixbook job edit {job.number} "
        f"return_of={first.number}"
    )
    return [TextBlock("A likely return", text, weight=DOUBT)]
