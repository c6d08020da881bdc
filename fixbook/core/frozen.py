"""A base for small value types that every cold command pays for.

The standard library's `dataclasses` would write the same methods, but importing it costs more
than a bare interpreter does (it pulls in `re`, `inspect` and `ast`).
"""

from __future__ import annotations


class Frozen:
    """A value with slots, equal and hashed by them, that cannot be changed once made."""

    __slots__: tuple[str, ...] = ()

    def _fill(self, **values: object) -> None:
        """Set the slots, once."""
        for name, value in values.items():
            object.__setattr__(self, name, value)

    def _values(self) -> tuple[object, ...]:
        return tuple(getattr(self, name) for name in self.__slots__)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"{type(self).__name__}.{name} cannot be changed")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"{type(self).__name__}.{name} cannot be removed")

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Frozen) or type(other) is not type(self):
            return NotImplemented
        return self._values() == other._values()

    def __hash__(self) -> int:
        return hash((type(self), self._values()))

    def __repr__(self) -> str:
        pairs = [f"{name}={getattr(self, name)!r}" for name in type(self).__annotations__]
        return f"{type(self).__name__}({', '.join(pairs)})"

    def __reduce__(self) -> tuple[object, ...]:
        return _remake, (type(self), self._values())


def _remake(cls: type[Frozen], values: tuple[object, ...]) -> Frozen:
    made = cls.__new__(cls)
    made._fill(**dict(zip(cls.__slots__, values, strict=True)))
    return made
