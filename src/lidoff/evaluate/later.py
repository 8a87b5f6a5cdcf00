"""Later: what nobody may ever read, such as a worked sheet, is written when it is first looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextvars import Context, copy_context
from typing import TypeVar, overload

T = TypeVar("T")


class Later(Sequence[T]):
    """A sequence made on its first use; equal to any sequence of the same entries.

    It is made in the context in which it was promised, whoever draws samples by then.
    """

    __slots__ = ("_context", "_made", "_make")

    def __init__(self, make: Callable[[], Iterable[T]]) -> None:
        self._make: Callable[[], Iterable[T]] | None = make
        self._made: tuple[T, ...] = ()
        self._context: Context = copy_context()

    def _all(self) -> tuple[T, ...]:
        make = self._make
        if make is not None:
            # Two threads may both make it; they make the same.
            self._made = self._context.copy().run(lambda: tuple(make()))
            self._make = None
        return self._made

    @overload
    def __getitem__(self, index: int) -> T: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[T, ...]: ...
    def __getitem__(self, index: int | slice) -> T | tuple[T, ...]:
        return self._all()[index]

    def __len__(self) -> int:
        return len(self._all())

    def __iter__(self) -> Iterator[T]:
        return iter(self._all())

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Later):
            return self is other or self._all() == other._all()
        return isinstance(other, Sequence) and self._all() == tuple(other)

    def __hash__(self) -> int:
        return hash(self._all())

    def __repr__(self) -> str:
        return repr(self._all())
