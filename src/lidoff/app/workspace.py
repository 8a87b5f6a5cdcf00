"""Workspace: a folder with the records, and the use cases on it."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..records import Pack, Scenario, Study
from .errors import NothingToDo, UserError
from .names import checked_name

if TYPE_CHECKING:  # heavy rooms are imported where they are used, so that the command line starts fast
    from ..compare import Comparison
    from ..evaluate import Doubt, Findings
    from ..evaluate.spread import Spreads
    from ..methods import Book, Shelf
    from ..store import Store, StudySummary
    from .imports import ImportOutcome
    from .shelf import Kept

Progress = Callable[[str], None]


def _silent(_: str) -> None:
    pass


class Workspace:
    """The use cases on one store. Open it with `Workspace.open`.

    The store is made at the first write, so that a mistyped command leaves nothing behind.
    """

    def __init__(self, folder: Path, url: str | None, who: str, progress: Progress) -> None:
        self.folder = folder
        self.who = who
        self.progress = progress
        self._url = url
        self._shelf: Kept | None = None

    @classmethod
    def open(
        cls,
        folder: Path | str | None = None,
        *,
        url: str | None = None,
        who: str | None = None,
        progress: Progress = _silent,
    ) -> Workspace:
        """The workspace in a folder.

        ``folder`` defaults to ``LIDOFF_DATA`` or ``./lidoff-data``; ``url`` to ``LIDOFF_DATABASE``
        or an SQLite file in the folder.
        """
        place = Path(folder or os.environ.get("LIDOFF_DATA") or "lidoff-data")
        person = who or os.environ.get("LIDOFF_WHO") or os.environ.get("USER") or "bench"
        return cls(place, url or os.environ.get("LIDOFF_DATABASE"), person, progress)

    @cached_property
    def store(self) -> Store:
        """The records, made where there are none yet. Raises `UserError`."""
        from ..store import Store, StoreError

        try:
            return Store.open(self.folder, self._url)
        except StoreError as error:
            raise UserError(str(error)) from error

    @property
    def shelf(self) -> Shelf:
        """The method books: shipped ones and the user's own in the folder, read anew when these change.

        What is left out of it is told once, and stands in its ``faults``.
        """
        from .shelf import current

        self._shelf = current(self.folder, self._shelf, self.progress)
        return self._shelf.shelf

    def methods(self, name: str | None = None) -> list[Book]:
        """All method books, or the one of that name. Raises `UserError`."""
        from .calculate import book_named

        return list(self.shelf.values()) if name is None else [book_named(name, self.shelf)]

    def calculate(self, method: str, pairs: Sequence[str], *, prices: Path | None = None) -> dict[str, Any]:
        """One method with values of one's own; see `lidoff.app.calculate.calculate`."""
        from .calculate import calculate
        from .scenario import price_book_for

        book = price_book_for(self.folder, Scenario(), prices)
        return calculate(method, pairs, shelf=self.shelf, prices=book)

    def studies(self) -> Sequence[StudySummary]:
        """The studies there are; none in a workspace that nothing was written to."""
        from ..store import StoreError

        if self._url is None and not (self.folder / "lidoff.db").exists():
            return ()
        try:
            return self.store.studies()
        except StoreError as error:
            raise UserError(str(error)) from error

    def _found(self, name: str) -> Study | None:
        from ..store import StoreError

        for summary in self.studies():
            if name in (summary.id, summary.name):
                try:
                    return self.store.load(summary.id)
                except StoreError as error:
                    raise UserError(str(error)) from error
        return None

    def study(self, name: str) -> Study:
        """The study of that name. Raises `UserError` naming those there are."""
        found = self._found(name)
        if found is None:
            there = ", ".join(sorted(s.id for s in self.studies())) or "none yet"
            raise UserError(f"There is no study {name!r} in {self.folder} (studies: {there}).")
        return found

    def study_or_new(self, name: str) -> Study:
        tidy = checked_name("study", name)
        return self._found(tidy) or Study(id=tidy, name=tidy)

    def pack(self, study: Study, name: str) -> Pack:
        found = study.pack(name)
        if found is None:
            there = ", ".join(p.name for p in study.packs) or "none yet"
            raise UserError(f"Study {study.name!r} has no pack {name!r} (packs: {there}).")
        return found

    def import_file(
        self, path: Path | str, *, study: str, pack: str, accept: Sequence[str] | str = ()
    ) -> ImportOutcome:
        """Import a bench file into a pack; see `lidoff.app.imports.import_file`."""
        from .imports import import_file

        return import_file(self, Path(path), study, pack, accept)

    def accept(self, study: str, pack: str, ids: Sequence[str]) -> ImportOutcome:
        """Take proposals left open by an import; see `lidoff.app.imports.accept`."""
        from .imports import accept

        return accept(self, study, pack, ids)

    def export(self, study: str, out: Path) -> Path:
        """Write a study to one file; see `lidoff.app.bundle.export`."""
        from .bundle import export

        return export(self, study, out)

    def open_bundle(self, path: Path, *, name: str | None = None, instead: bool = False) -> Study:
        """Put a bundle's study into the workspace; see `lidoff.app.bundle.open_bundle`."""
        from .bundle import open_bundle

        return open_bundle(self, path, name=name, instead=instead)

    def demo(self) -> Study:
        """The demo study, through the same import as any bench file."""
        from .demo import import_demo

        return import_demo(self)

    def scenario(
        self,
        study: Study,
        *,
        volume: float | None = None,
        years: float | None = None,
        region: str | None = None,
    ) -> Scenario:
        """The study's scenario with what the caller asks instead. Raises `UserError`."""
        from .scenario import adapted

        return adapted(study.scenario, volume=volume, years=years, region=region)

    def evaluate(
        self,
        study: str | Study,
        *,
        scenario: Scenario | None = None,
        samples: int = 1000,
        prices: Path | None = None,
    ) -> Findings:
        """Evaluate a study. Raises `NothingToDo` where it holds no parts yet."""
        from ..evaluate import evaluate
        from ..methods.routes import routes
        from .scenario import checked_samples, price_book_for

        record = self.study(study) if isinstance(study, str) else study
        if not any(pack.items for pack in record.packs):
            raise NothingToDo(f"Study {record.name!r} holds no parts yet: import a bench file first.")
        chosen = scenario or record.scenario
        self.progress(f"evaluating {len(record.packs)} packs with {samples} samples")
        return evaluate(
            record,
            chosen,
            samples=checked_samples(samples),
            prices=price_book_for(self.folder, chosen, prices),
            books=self.shelf if self.shelf.own or self.shelf.routes is not routes() else None,
        )

    def evaluate_with(
        self,
        study: Study,
        *,
        volume: float | None = None,
        years: float | None = None,
        region: str | None = None,
        samples: int = 1000,
        prices: Path | None = None,
    ) -> Findings:
        """Evaluate in the study's scenario with other terms; see `scenario` and `evaluate`."""
        scenario = self.scenario(study, volume=volume, years=years, region=region)
        return self.evaluate(study, scenario=scenario, samples=samples, prices=prices)

    def check(self, study: str) -> tuple[Doubt, ...]:
        from ..evaluate import check

        return check(self.study(study))

    def compare(
        self,
        study: str | Study,
        findings: Findings,
        *,
        scope: Sequence[str] | None = None,
        like_for_like: bool = False,
    ) -> Comparison:
        """Compare the packs of a study. Raises `UserError`, `NothingToDo`."""
        from ..compare import compare
        from ..records import FUNCTIONS, Function

        record = self.study(study) if isinstance(study, str) else study
        if len(findings.packs) < 2:
            raise NothingToDo(f"Study {record.name!r} has {len(findings.packs)} pack: comparing takes two.")
        functions: list[Function] | None = None
        if scope is not None:
            known = {function.value: function for function in FUNCTIONS}
            wrong = [word for word in scope if word not in known]
            if wrong:
                raise UserError(f"Unknown function {wrong[0]!r} in the scope (known: {', '.join(known)}).")
            functions = [known[word] for word in scope]
        return compare(findings, record, scope=functions, like_for_like=like_for_like)

    def spread(
        self,
        study: Study,
        findings: Findings,
        *,
        figures: Sequence[str] = (),
        pack: str | None = None,
        difference: bool = False,
        indices: bool = False,
    ) -> Spreads:
        """Where the spread of figures comes from; see `lidoff.app.spread.spread_of`."""
        from .spread import spread_of

        self.progress("looking into the spread")
        return spread_of(study, findings, figures=figures, pack=pack, difference=difference, indices=indices)

    def report(
        self,
        study: str,
        out: Path,
        *,
        formats: Sequence[str] = ("html", "pdf"),
        scenario: Scenario | None = None,
        samples: int = 10_000,
        prices: Path | None = None,
    ) -> list[Path]:
        """Write the client report; returns the files. Raises `UserError`, `NothingToDo`."""
        from ..report import FORMATS, ReportError, write_report
        from .spread import report_spreads

        wrong = [f for f in formats if f not in FORMATS]
        if wrong or not formats:
            named = repr(wrong[0]) if wrong else "empty"
            raise UserError(f"Report format {named} is not available (formats: {', '.join(FORMATS)}).")
        record = self.study(study)
        if scenario is not None:
            record = replace(record, scenario=scenario)
        findings = self.evaluate(record, samples=samples, prices=prices)
        comparison = self.compare(record, findings, like_for_like=True) if len(findings.packs) > 1 else None
        told = report_spreads(record, findings, comparison) if set(formats) - {"xlsx"} else None
        try:
            return write_report(
                record,
                findings,
                comparison,
                out,
                formats=tuple(formats),
                attachments=self.store.read_attachment,
                progress=self.progress,
                spread=told,
            )
        except (OSError, ReportError) as error:
            raise UserError(f"The report could not be written to {out}: {error}") from error
