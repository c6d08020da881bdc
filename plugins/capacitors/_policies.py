"""How much of its rated voltage a capacitor may see, by family, policy and temperature.

Each policy holds fractions at rising temperatures, with how each is known. Between two of them
the fraction is linear, below the first it stays, above the last the policy says nothing.
Policies whose text nobody here has read are left out rather than quoted.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fixbook.api import (
    MEMORY,
    PRACTICE,
    PUBLISHED,
    SECONDARY,
    Evidence,
    Verdict,
)

FamilyName = Literal[
    "aluminium",
    "tantalum-mno2",
    "tantalum-polymer",
    "aluminium-polymer",
    "ceramic-1",
    "ceramic-2",
    "film",
    "mains",
]
PolicyName = Literal["bench", "maker", "agency", "limit"]
SeriesName = Literal["125-c", "150-c"]

ANY_TEMPERATURE = 150.0
LOW_RATING = 10.0
"""Rated volts up to which a polymer policy allows more."""
_ROUNDING = 1e-9

Points = tuple[tuple[float, float, Evidence], ...]
"""Temperature in Celsius, allowed fraction of the rated voltage, how it is known."""


@dataclass(frozen=True, slots=True)
class Policy:
    """Allowed fractions of the rated voltage."""

    source: str
    points: Points
    low_points: Points = ()
    """Instead of `points` for parts rated 10 V or less; empty: the same."""

    def fraction(self, temperature: float, rated_voltage: float) -> float | None:
        """Give the allowed fraction; None above the policy's last temperature."""
        found = self._find(temperature, rated_voltage)
        return None if found is None else found[0]

    def evidence(self, temperature: float, rated_voltage: float) -> Evidence:
        """Say how the fraction at this temperature is known."""
        found = self._find(temperature, rated_voltage)
        return self.points[-1][2] if found is None else found[1]

    def minimum_rating(self, stress: float, temperature: float) -> float | None:
        """Give the lowest rated voltage that takes the stress; None above the last temperature."""
        low = self.fraction(temperature, LOW_RATING)
        high = self.fraction(temperature, LOW_RATING * 2)
        if low is None or high is None:
            return None
        needed = stress / low
        return needed if needed <= LOW_RATING * (1 + _ROUNDING) else stress / high

    def _find(self, temperature: float, rated_voltage: float) -> tuple[float, Evidence] | None:
        low = self.low_points and rated_voltage <= LOW_RATING * (1 + _ROUNDING)
        points = self.low_points if low else self.points
        before = points[0]
        for point in points:
            if temperature <= point[0]:
                span = point[0] - before[0]
                share = max(0.0, temperature - before[0]) / span if span else 0.0
                return before[1] + (point[1] - before[1]) * share, point[2]
            before = point
        return None


def _flat(fraction: float, evidence: Evidence, top: float = ANY_TEMPERATURE) -> Points:
    return ((top, fraction, evidence),)


_TANTALUM = "a tantalum maker's answer on derating"
_POLYMER = "a maker's answer on derating polymer capacitors"
_AGENCY = "NASA EEE-INST-002, capacitor derating"
_FULL = "no more than the rated voltage, direct plus ripple peak"

POLICIES: dict[tuple[str, str], Policy] = {
    ("aluminium", "bench"): Policy("80 % of the rated voltage", _flat(0.8, PRACTICE)),
    ("tantalum-mno2", "maker"): Policy(_TANTALUM, ((85, 0.5, PUBLISHED), (125, 0.33, MEMORY))),
    ("tantalum-mno2", "agency"): Policy(_AGENCY, ((70, 0.5, MEMORY), (110, 0.3, MEMORY))),
    ("tantalum-polymer", "maker"): Policy(
        _POLYMER,
        ((105, 0.8, PUBLISHED), (125, 0.67, SECONDARY)),
        ((105, 0.9, PUBLISHED), (125, 0.67, SECONDARY)),
    ),
    ("ceramic-1", "maker"): Policy("makers rate class 1 for full voltage", _flat(1, SECONDARY)),
    ("ceramic-1", "agency"): Policy(_AGENCY, _flat(0.6, MEMORY, 110)),
    ("ceramic-2", "bench"): Policy(
        "half the rated voltage, to keep capacitance and not for survival", _flat(0.5, PRACTICE)
    ),
    ("ceramic-2", "maker"): Policy("makers rate class 2 for full voltage", _flat(1, SECONDARY)),
    ("ceramic-2", "agency"): Policy(_AGENCY, _flat(0.6, MEMORY, 110)),
    ("film", "maker"): Policy(
        "full voltage to 85 degC, then 1.25 % less for each kelvin: check the sheet",
        ((85, 1, MEMORY), (105, 0.75, MEMORY)),
    ),
    ("film", "agency"): Policy(_AGENCY, _flat(0.6, MEMORY, 85)),
    ("mains", "bench"): Policy(
        "no derating in IEC 60384-14: the marked alternating voltage", _flat(1, PUBLISHED)
    ),
}
# A tantalum maker's sheet of a series for 150 degC.
LONG_SERIES = Policy(
    "a maker's sheet of a 150 degC tantalum series", ((85, 0.5, PUBLISHED), (150, 0.33, PUBLISHED))
)
LIMITS: dict[str, Evidence] = {
    "tantalum-mno2": PUBLISHED,
    "tantalum-polymer": PUBLISHED,
    "aluminium": MEMORY,
}
"""How the hard limit is known of a family: a tantalum sheet; IEC 60384-4 from memory."""

# Makers' series tables show 6.3 to 450 V and 4 to 50 V; 35, 50, 80, 350 and 450 V are customary
# beside the five-step preferred numbers of IEC 60384-4.
_ALUMINIUM_VOLTS = (
    4, 6.3, 10, 16, 25, 35, 50, 63, 80, 100, 160, 200, 250, 350, 400, 450, 500,
)  # fmt: skip
_TANTALUM_VOLTS = (2.5, 4, 6.3, 10, 16, 20, 25, 35, 50)
STANDARD_VOLTS: dict[str, tuple[float, ...]] = {
    "aluminium": _ALUMINIUM_VOLTS,
    "aluminium-polymer": _ALUMINIUM_VOLTS,
    "tantalum-mno2": _TANTALUM_VOLTS,
    "tantalum-polymer": _TANTALUM_VOLTS,
}


def find_policy(family: str, name: str | None, series: str = "125-c") -> Policy | None:
    """Give a family's policy; None where it has none of that name.

    `bench`, and no name at all, is what is usual at the bench for the family: its own bench
    policy, or what its makers say.
    """
    if name == "limit":
        return Policy(_FULL, _flat(1, LIMITS.get(family, PRACTICE)))
    wanted = [(family, "bench"), (family, "maker")] if name in (None, "bench") else [(family, name)]
    found = next((POLICIES[one] for one in wanted if one in POLICIES), None)
    is_long = series == "150-c" and found is POLICIES["tantalum-mno2", "maker"]
    return LONG_SERIES if is_long else found


def policy_names(family: str) -> list[str]:
    """Give the policies that a family has."""
    own = [name for owner, name in POLICIES if owner == family]
    bench = [] if not own or "bench" in own else ["bench"]
    return [*bench, *own, "limit"]


def standard_rating(policy: Policy, family: str, stress: float, temperature: float) -> float | None:
    """Give the first standard rated voltage that takes the stress; None where there is none."""
    for volts in STANDARD_VOLTS.get(family, ()):
        fraction = policy.fraction(temperature, volts)
        if fraction is not None and is_within(stress, fraction * volts):
            return volts
    return None


def judge(policy: Policy, stress: float, temperature: float, rated: float) -> tuple[Verdict, str]:
    """Judge a rated voltage under a policy, with the numbers that decided it."""
    text = f"stress of {stress:.4g} V on a part of {rated:g} V"
    if not is_within(stress, rated):
        return "fail", f"{text}: above its rating"
    fraction = policy.fraction(temperature, rated)
    if fraction is None:
        last = policy.points[-1][0]
        return (
            "fail",
            f"{text} at {temperature:g} degC: outside policy, which ends at {last:g} degC",
        )
    allowed = f"{fraction:.3g} x {rated:g} V = {fraction * rated:.4g} V"
    if is_within(stress, fraction * rated):
        return "pass", f"{text}: within {allowed}"
    return "marginal", f"{text}: within rating, outside policy, which allows {allowed}"


def is_within(value: float, limit: float) -> bool:
    """Say whether a value is at most the limit, rounding aside."""
    return value <= limit * (1 + _ROUNDING)
