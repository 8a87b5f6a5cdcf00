"""Workers: many lines on two cores. Arrays of some thousand samples are worked on outside Python's lock."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")

#: Samples from which on a second thread pays: below, a line is mostly Python, which only takes turns.
WORTH_A_THREAD = 4_000
#: Lines computed ahead of the one that is added up; bounds how many hold their samples at a time.
_AHEAD = 3


def in_order(makers: Sequence[Callable[[], T]], samples: int) -> Iterator[T]:
    """What each maker makes, in their order."""
    workers = os.cpu_count() or 1
    if samples < WORTH_A_THREAD or workers < 2 or len(makers) < 2:
        for make in makers:
            yield make()
        return
    workers = min(workers, 4)
    with ThreadPoolExecutor(workers) as pool:
        window: deque[Future[T]] = deque()
        for make in makers:
            window.append(pool.submit(make))
            if len(window) >= workers + _AHEAD:
                yield window.popleft().result()
        while window:
            yield window.popleft().result()
