"""The command line: thin commands over `lidoff.app`."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from . import __version__

if TYPE_CHECKING:  # heavy rooms are imported inside the commands, so that help is quick
    from .app import Workspace

cli = typer.Typer(
    name="lidoff",
    help="From what a teardown bench records to compared, costed and explained battery packs.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Study = Annotated[str, typer.Argument(metavar="STUDY", help="Name of the study.")]
Volume = Annotated[float | None, typer.Option("--volume", help="Packs a year.")]
Years = Annotated[float | None, typer.Option("--years", help="Years of production.")]
Region = Annotated[str | None, typer.Option("--region", help="Region of the price book.")]
Samples = Annotated[int, typer.Option("--samples", help="Samples behind the intervals.")]
Prices = Annotated[Path | None, typer.Option("--prices", help="Your own price file, laid over the book.")]


class _State:
    folder: Path | None = None


@cli.callback()
def _start(
    workspace: Annotated[
        Path | None,
        typer.Option("--workspace", help="Folder of the records (LIDOFF_DATA, else ./lidoff-data)."),
    ] = None,
) -> None:
    """From what a teardown bench records to compared, costed and explained battery packs."""
    _State.folder = workspace


def _desk() -> Workspace:
    from .app import Workspace

    return Workspace.open(_State.folder, progress=_progress)


def _progress(message: str) -> None:
    typer.echo(f"… {message}", err=True)


def _print_json(answer: Any) -> None:
    typer.echo(json.dumps(_finite(answer), ensure_ascii=False, indent=1))


def _finite(answer: Any) -> Any:
    """JSON has no infinity and no nan: they become null, never an unreadable document."""
    if isinstance(answer, float):
        return answer if math.isfinite(answer) else None
    if isinstance(answer, dict):
        return {key: _finite(value) for key, value in answer.items()}
    if isinstance(answer, list | tuple):
        return [_finite(value) for value in answer]
    return answer


def _split(values: Sequence[str] | None) -> list[str]:
    return [part.strip() for value in values or () for part in value.split(",") if part.strip()]


@cli.command()
def demo() -> None:
    """Put the demo study into the workspace."""
    study = _desk().demo()
    typer.echo(f"Study {study.name!r}: " + ", ".join(f"{p.name} ({len(p.items)} lines)" for p in study.packs))


@cli.command()
def studies(as_json: Json = False) -> None:
    """List the studies in the workspace."""
    from .app.answers import studies_answer
    from .app.errors import NothingToDo

    found = _desk().studies()
    if as_json:
        return _print_json(studies_answer(found))
    if not found:
        raise NothingToDo("No study yet: `lidoff demo`, or `lidoff import FILE --study S --pack P`.")
    for s in found:
        typer.echo(
            f"{s.name}: {len(s.packs)} packs ({', '.join(s.packs)}), {s.items} lines, revision {s.revision}"
        )


@cli.command("import")
def import_(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Bench file: workbook or text.")],
    study: Annotated[str, typer.Option("--study", help="Study to put it in (made if new).")],
    pack: Annotated[str, typer.Option("--pack", help="Pack it describes (made if new).")],
    accept: Annotated[
        list[str] | None, typer.Option("--accept", help="Question ids to accept, or all.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Import a bench file into a pack; says what it took, asks and could not use."""
    from .app.answers import import_answer
    from .app.texts import import_text

    ids = _split(accept)
    outcome = _desk().import_file(file, study=study, pack=pack, accept="all" if ids == ["all"] else ids)
    if as_json:
        return _print_json(import_answer(outcome))
    typer.echo(import_text(outcome))


@cli.command()
def accept(
    study: Study,
    ids: Annotated[list[str], typer.Argument(metavar="ID…", help="Question ids, or all.")],
    pack: Annotated[str, typer.Option("--pack", help="Pack the questions belong to.")],
    as_json: Json = False,
) -> None:
    """Take proposals that an import left open."""
    from .app.answers import import_answer
    from .app.texts import import_text

    outcome = _desk().accept(study, pack, _split(ids))
    if as_json:
        return _print_json(import_answer(outcome))
    typer.echo(import_text(outcome))


@cli.command()
def export(
    study: Study,
    out: Annotated[Path, typer.Option("--out", help="The bundle to write, a .zip file.")],
) -> None:
    """Write a study with its files and your own books to one file."""
    typer.echo(str(_desk().export(study, out)))


@cli.command("open")
def open_(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Study bundle.")],
    name: Annotated[str | None, typer.Option("--as", help="Another name for the study.")] = None,
    instead: Annotated[bool, typer.Option("--replace", help="Replace the study of that name.")] = False,
) -> None:
    """Put the study of a bundle into the workspace."""
    study = _desk().open_bundle(file, name=name, instead=instead)
    typer.echo(f"Study {study.name!r}: " + ", ".join(f"{p.name} ({len(p.items)} lines)" for p in study.packs))


@cli.command()
def check(study: Study, as_json: Json = False) -> None:
    """Say what looks wrong in the records, and what to do about it."""
    from .app.answers import doubts_answer
    from .app.texts import doubts_text

    desk = _desk()
    record = desk.study(study)
    doubts = desk.check(study)
    names = {p.id: p.name for p in record.packs}
    if as_json:
        return _print_json(doubts_answer(doubts, names))
    typer.echo(doubts_text(doubts, names))


@cli.command()
def figures(
    study: Study,
    pack: Annotated[str | None, typer.Option("--pack", help="Only this pack.")] = None,
    volume: Volume = None,
    years: Years = None,
    region: Region = None,
    samples: Samples = 1000,
    prices: Prices = None,
    as_json: Json = False,
) -> None:
    """Every figure with its interval, basis and sources."""
    from .app.answers import figures_answer
    from .app.texts import figures_text

    desk = _desk()
    record = desk.study(study)
    if pack is not None:
        desk.pack(record, pack)
    findings = desk.evaluate_with(
        record, volume=volume, years=years, region=region, samples=samples, prices=prices
    )
    if as_json:
        return _print_json(figures_answer(findings, pack=pack))
    typer.echo(figures_text(findings, pack=pack))


@cli.command()
def compare(
    study: Study,
    scope: Annotated[str | None, typer.Option("--scope", help="Functions to compare, by commas.")] = None,
    like_for_like: Annotated[
        bool, typer.Option("--like-for-like", help="Only functions that all packs have.")
    ] = False,
    volume: Volume = None,
    years: Years = None,
    region: Region = None,
    samples: Samples = 1000,
    prices: Prices = None,
    as_json: Json = False,
) -> None:
    """Compare the packs of a study, with the interval of every difference."""
    from .app.answers import comparison_answer
    from .app.errors import UserError
    from .app.texts import comparison_text

    if scope is not None and like_for_like:
        raise UserError("--scope and --like-for-like exclude each other.")
    desk = _desk()
    record = desk.study(study)
    findings = desk.evaluate_with(
        record, volume=volume, years=years, region=region, samples=samples, prices=prices
    )
    comparison = desk.compare(
        record, findings, scope=_split([scope]) if scope is not None else None, like_for_like=like_for_like
    )
    names = {p.id: p.name for p in record.packs}
    if as_json:
        return _print_json(comparison_answer(comparison, names))
    typer.echo(comparison_text(comparison, names))


@cli.command()
def spread(
    study: Study,
    pack: Annotated[str | None, typer.Option("--pack", help="Only this pack.")] = None,
    figure: Annotated[list[str] | None, typer.Option("--figure", help="Figure; may be repeated.")] = None,
    difference: Annotated[
        bool, typer.Option("--difference", help="The first pack less each other, instead of each pack.")
    ] = False,
    sobol: Annotated[
        bool, typer.Option("--sobol", help="First and total indices too, which take longer.")
    ] = False,
    volume: Volume = None,
    years: Years = None,
    region: Region = None,
    samples: Samples = 1000,
    prices: Prices = None,
    as_json: Json = False,
) -> None:
    """Where the spread of a figure comes from, and what to measure next."""
    from .app.spread_answers import spread_answer, spread_text

    desk = _desk()
    record = desk.study(study)
    only = None if pack is None else desk.pack(record, pack).id
    findings = desk.evaluate_with(
        record, volume=volume, years=years, region=region, samples=samples, prices=prices
    )
    found = desk.spread(
        record, findings, figures=figure or (), pack=only, difference=difference, indices=sobol
    )
    names = {p.id: p.name for p in record.packs}
    if as_json:
        return _print_json(spread_answer(found, names))
    typer.echo(spread_text(found, names))


@cli.command()
def methods(
    method: Annotated[str | None, typer.Argument(metavar="METHOD", help="One method's name.")] = None,
    as_json: Json = False,
) -> None:
    """List the method books, or read one: inputs, formulas, sources, checks and their results."""
    from .app.answers import books_answer
    from .app.texts import book_text, books_text

    desk = _desk()
    chosen = desk.methods(method)
    own = desk.shelf.own
    if as_json:
        return _print_json(books_answer(chosen, own))
    typer.echo(book_text(chosen[0]) if method is not None else books_text(chosen, own))


@cli.command()
def calc(
    method: Annotated[str, typer.Argument(metavar="METHOD", help="Name of the method.")],
    values: Annotated[list[str] | None, typer.Argument(metavar="NAME=VALUE…")] = None,
    prices: Prices = None,
    as_json: Json = False,
) -> None:
    """Calculate one method with values of your own; they carry units (gauge=1.5mm)."""
    from .app.texts import calculation_text

    answer = _desk().calculate(method, values or [], prices=prices)
    if as_json:
        return _print_json(answer)
    typer.echo(calculation_text(answer))


@cli.command()
def cost(
    study: Study,
    pack: Annotated[str, typer.Option("--pack", help="The pack.")],
    item: Annotated[str | None, typer.Option("--item", help="Find number or id of one item.")] = None,
    volume: Volume = None,
    years: Years = None,
    region: Region = None,
    samples: Samples = 1000,
    prices: Prices = None,
    as_json: Json = False,
) -> None:
    """The cost of a pack line by line, or of one item down to its worked sheet."""
    from .app.answers import cost_line_answer, tree_answer
    from .app.errors import UserError
    from .app.texts import cost_text

    desk = _desk()
    record = desk.study(study)
    found = desk.pack(record, pack)
    findings = desk.evaluate_with(
        record, volume=volume, years=years, region=region, samples=samples, prices=prices
    )
    lines = findings.packs[found.id].cost_lines
    if item is not None:
        lines = tuple(line for line in lines if item in (line.item, line.number))
        if not lines:
            raise UserError(f"Pack {found.name!r} has no cost line {item!r}.")
    if as_json:
        one = item is not None and len(lines) == 1
        return _print_json(
            cost_line_answer(lines[0], findings.currency) if one else tree_answer(lines, findings.currency)
        )
    typer.echo(cost_text(lines, findings.currency, worked=item is not None))


@cli.command()
def report(
    study: Study,
    out: Annotated[Path, typer.Option("--out", help="Folder for the report.")],
    formats: Annotated[str, typer.Option("--format", help="Formats, by commas.")] = "pdf,html",
    volume: Volume = None,
    years: Years = None,
    region: Region = None,
    samples: Samples = 10_000,
    prices: Prices = None,
) -> None:
    """Write the client report."""
    desk = _desk()
    record = desk.study(study)
    written = desk.report(
        study,
        out,
        formats=_split([formats]),
        scenario=desk.scenario(record, volume=volume, years=years, region=region),
        samples=samples,
        prices=prices,
    )
    for path in written:
        typer.echo(str(path))


def _version(show: bool) -> None:
    if show:
        typer.echo(f"lidoff {__version__}")
        raise typer.Exit


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line; the exit status is 0 done, 1 nothing to do, 2 bad input."""
    from .app.errors import NothingToDo, UserError

    try:
        status = cli(args=arguments, standalone_mode=False)
    except (UserError, NothingToDo) as error:
        _tell(str(error))
        sys.exit(2 if isinstance(error, UserError) else 1)
    except typer.Exit as done:
        sys.exit(done.exit_code)
    except (KeyboardInterrupt, typer.Abort):
        _tell("Stopped; nothing half-written.")
        sys.exit(130)
    except BrokenPipeError:
        sys.exit(0)
    except Exception as error:
        # click's usage errors are no part of typer's public names; they say what is wrong themselves.
        message = getattr(error, "format_message", None)
        if message is None:
            raise
        _tell(message())
        sys.exit(2)
    sys.exit(status if isinstance(status, int) else 0)


def _tell(sentence: str) -> None:
    typer.echo(f"lidoff: {' '.join(sentence.split())}", err=True)
