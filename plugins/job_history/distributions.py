"""The few distribution functions that counts of jobs need, in plain Python.

They agree with scipy to about 1e-10; scipy itself would cost a command a second to import.
"""

from __future__ import annotations

import math
from collections.abc import Callable

_TINY = 1e-300
_CLOSE = 1e-15
_MOST_STEPS = 20_000


def normal_quantile(share: float) -> float:
    """Give the point below which a standard normal value falls with this probability."""
    if not 0 < share < 1:
        raise ValueError(f"a share between 0 and 1, not {share}")
    if share < 0.5:
        return -normal_quantile(1 - share)
    point = 0.0
    # The distribution is concave above zero, so that Newton's steps rise to the root.
    for _ in range(200):
        left = share - 0.5 * math.erfc(-point / math.sqrt(2))
        step = left * math.sqrt(2 * math.pi) * math.exp(point * point / 2)
        point += step
        if abs(step) <= 1e-14 * max(point, 1):
            break
    return point


def beta_share(point: float, a: float, b: float) -> float:
    """Give the probability that a beta(a, b) value is below a point from 0 to 1."""
    if point <= 0 or point >= 1:
        return 0.0 if point <= 0 else 1.0
    front = math.exp(_log_front(point, a, b))
    if point < (a + 1) / (a + b + 2):
        return front * _beta_fraction(point, a, b) / a
    return 1 - front * _beta_fraction(1 - point, b, a) / b


def beta_quantile(share: float, a: float, b: float) -> float:
    """Give the point below which a beta(a, b) value falls with this probability."""
    return _bisect(lambda point: beta_share(point, a, b) - share, 0.0, 1.0)


def angle_density(angle: float, a: float, b: float) -> float:
    """Give the density of the angle, from 0 to pi/2, whose squared sine is a beta(a, b) value.

    For a and b from one half up it is finite everywhere, where beta's own density is not.
    """
    whole = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    for side, power in ((math.sin(angle), 2 * a - 1), (math.cos(angle), 2 * b - 1)):
        if power and side <= 0:
            return 0.0
        whole += power * math.log(side) if power else 0.0
    return 2 * math.exp(whole)


def gamma_share(point: float, a: float) -> float:
    """Give the probability that a gamma(a) value of scale 1 is below a point."""
    if point <= 0:
        return 0.0
    front = math.exp(a * math.log(point) - point - math.lgamma(a))
    if point < a + 1:
        term = whole = 1 / a
        for step in range(1, _MOST_STEPS):
            term *= point / (a + step)
            whole += term
            if term < whole * _CLOSE:
                break
        return front * whole
    return 1 - front * _gamma_fraction(point, a)


def gamma_quantile(share: float, a: float) -> float:
    """Give the point below which a gamma(a) value of scale 1 falls with this probability."""
    high = a + 1.0
    while gamma_share(high, a) < share:
        high *= 2
    return _bisect(lambda point: gamma_share(point, a) - share, 0.0, high)


def _log_front(point: float, a: float, b: float) -> float:
    whole = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    return whole + a * math.log(point) + b * math.log1p(-point)


def _beta_fraction(point: float, a: float, b: float) -> float:
    """Evaluate the continued fraction of the incomplete beta function (Lentz's method)."""
    c = 1.0
    d = 1 / (1 - (a + b) * point / (a + 1) or _TINY)
    value = d
    for m in range(1, _MOST_STEPS):
        for part in (
            m * (b - m) * point / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * point / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / (1 + part * d or _TINY)
            c = 1 + part / c or _TINY
            value *= c * d
        if abs(c * d - 1) < _CLOSE:
            break
    return value


def _gamma_fraction(point: float, a: float) -> float:
    """Evaluate the continued fraction of the upper incomplete gamma function."""
    b = point + 1 - a
    c = 1 / _TINY
    d = value = 1 / b
    for step in range(1, _MOST_STEPS):
        part = -step * (step - a)
        b += 2
        d = 1 / (part * d + b or _TINY)
        c = b + part / c or _TINY
        value *= c * d
        if abs(c * d - 1) < _CLOSE:
            break
    return value


def _bisect(rising: Callable[[float], float], low: float, high: float) -> float:
    """Give the root of a rising function between two points, to the last bits."""
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high) or high - low <= _CLOSE * high:
            break
        if rising(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
