"""Every check of every shipped method book, named by its kind.

``published`` checks compare with print; ``independent`` ones with another method or a hand
derivation; ``common practice`` with a rule of the trade; ``closure`` ones are fitted to what they
are compared with and confirm structure only. A refuted check asserts that we do not reproduce a
printed value known to be wrong.
"""

from __future__ import annotations

from collections import Counter

import pytest

from lidoff.methods import Book, CheckKind, Seen, books, read_book
from lidoff.methods.book import source_id
from lidoff.methods.checks import CheckResult, run_checks
from lidoff.sources import SOURCES

RESULTS = [result for book in books().values() for result in run_checks(book)]


def _identity(result: CheckResult) -> str:
    kind = result.kind.replace(" ", "-") + ("-refuted" if result.refuted else "")
    return f"{kind}:{result.book}:{result.number}:{result.name}"


@pytest.mark.parametrize("result", RESULTS, ids=_identity)
def test_book_check(result: CheckResult) -> None:
    difference = "none" if result.difference is None else f"{100 * result.difference:+.3f} %"
    assert result.passed, (
        f"{result.book} {result.name}: {result.got} against {result.expected} of {result.source} "
        f"{result.where}: {difference} at a tolerance of {100 * result.rel:g} %. {result.says}"
    )


def unchecked(shelf: list[Book]) -> list[str]:
    """Books that no published, independent or common-practice check stands behind."""
    return [
        book.name
        for book in shelf
        if not any(check.kind is not CheckKind.CLOSURE and not check.refuted for check in book.checks)
    ]


def test_no_book_is_without_a_check() -> None:
    assert books()
    assert unchecked(list(books().values())) == []
    bare = read_book(
        'title="t"\ntopic="t"\n[inputs]\nx={unit="",about="x"}\n[[lines]]\nname="y"\nunit=""\nformula="x"\n',
        name="bare",
        file="bare.toml",
    )
    assert unchecked([bare]) == ["bare"]


def test_tolerances_are_tight_and_have_reasons() -> None:
    for book in books().values():
        for check in book.checks:
            assert 0.0 < check.rel <= 0.05, f"{book.name}: {check.where}"
            assert len(check.reason) > 10, f"{book.name}: {check.where}"
            if check.refuted:
                assert check.differs, f"{book.name}: {check.where}"


def test_at_least_twelve_published_checks() -> None:
    """Distinct by source, place and expected value; those from memory count and say so."""
    published = {
        (result.source, result.where, result.name, result.expected)
        for result in RESULTS
        if result.kind is CheckKind.PUBLISHED and not result.refuted
    }
    seen = Counter(r.seen for r in RESULTS if r.kind is CheckKind.PUBLISHED and not r.refuted)
    assert len({(source, where) for source, where, _, _ in published}) >= 12, sorted(published)
    assert all(result.seen is not Seen.COMPUTED for result in RESULTS if result.kind is CheckKind.PUBLISHED)
    assert seen[Seen.PAGE] > 0


def test_every_source_a_book_cites_is_in_the_citation_table() -> None:
    for book in books().values():
        cited = {*book.sources, *(source_id(check.source) for check in book.checks)}
        assert sorted(cited - SOURCES.keys()) == [], book.name
