"""Behaviour: what is written later is written once, in its own context, and equal to what it holds."""

from __future__ import annotations

from contextvars import ContextVar

from lidoff.evaluate.later import Later

WHO: ContextVar[str] = ContextVar("who", default="nobody")


def test_it_is_made_once_and_only_when_looked_at() -> None:
    calls: list[int] = []

    def make() -> list[str]:
        calls.append(1)
        return ["a", "b"]

    later = Later(make)
    assert calls == []
    assert (len(later), later[1], later[:1], list(later)) == (2, "b", ("a",), ["a", "b"])
    assert calls == [1]


def test_it_equals_what_it_holds() -> None:
    later = Later(lambda: (1, 2))
    assert later == (1, 2) and later == [1, 2] and later == Later(lambda: [1, 2])
    assert later != (1, 3) and later != 12 and hash(later) == hash((1, 2))
    assert not Later(tuple) and repr(later) == "(1, 2)"


def test_it_is_made_in_the_context_it_was_promised_in() -> None:
    token = WHO.set("somebody")
    later = Later(lambda: [WHO.get()])
    WHO.reset(token)
    assert list(later) == ["somebody"]
    assert WHO.get() == "nobody"
