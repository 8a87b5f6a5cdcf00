"""Writing the report: HTML, PDF and a live workbook, each file whole or not at all."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ..evaluate.findings import Findings
from ..records import Study
from .content import assemble
from .content.story import Story

if TYPE_CHECKING:
    from ..compare import Comparison
    from ..evaluate.spread import Spreads

FORMATS = ("html", "pdf", "xlsx")
#: What is written where nobody asks for a format.
USUAL = ("html", "pdf")

#: Reads an attachment by its hash. Photos are not printed yet; the reader is taken for when they are.
Attachments = Callable[[str], bytes]


class ReportError(RuntimeError):
    """The report could not be made; the message is one sentence."""


def write_report(
    study: Study,
    findings: Findings,
    comparison: Comparison | None,
    out: Path,
    formats: Sequence[str] = USUAL,
    attachments: Attachments | None = None,
    progress: Callable[[str], None] | None = None,
    *,
    issued: datetime | None = None,
    spread: Spreads | None = None,
) -> list[Path]:
    """Write a study's report into the folder ``out``; returns the files written.

    ``issued`` is printed and stamped; the same study, findings and ``issued`` give the same bytes.
    Without it the present time is taken. ``comparison`` may be ``None`` for a single pack, ``spread``
    where nobody looked into where the intervals come from. Each
    file is written beside its place, synced and renamed, so that no half file is ever seen. Raises
    `ReportError`, ``OSError``.
    """
    wrong = [f for f in formats if f not in FORMATS]
    if wrong or not formats:
        raise ReportError(f"report format {wrong[0] if wrong else ''!r} is not one of {', '.join(FORMATS)}")
    tell = progress or (lambda _: None)
    moment = (issued or datetime.now(UTC)).replace(microsecond=0)
    if moment.tzinfo is None:
        raise ReportError("the time of issue needs its time zone")
    out.mkdir(parents=True, exist_ok=True)
    stem = file_stem(study.name or study.id)
    written = []
    for form in dict.fromkeys(formats):
        kind = "workbook" if form == "xlsx" else "report"
        tell(f"writing the {kind} as {form.upper()}")
        story = Story(
            study=study,
            findings=findings,
            comparison=comparison,
            issued=moment,
            whole=form == "html",
            spread=spread,
        )
        target = out / f"{stem}-{kind}.{form}"
        _write(target, _made(form, story, moment))
        written.append(target)
    return written


def _made(form: str, story: Story, moment: datetime) -> bytes:
    # Imported late: the typesetter is large and a page needs none of it.
    if form == "xlsx":
        from .workbook import workbook

        try:
            return workbook(story.study, story.findings, story.comparison, moment)
        except ValueError as error:
            raise ReportError(f"the workbook could not be written: {error}") from error
    report = assemble(story)
    if form == "html":
        from .html import html

        return html(report)
    from .pdf import PdfError, pdf

    try:
        return pdf(report, moment)
    except PdfError as error:
        raise ReportError(f"the PDF could not be typeset: {error}") from error


def file_stem(name: str) -> str:
    """A file name of letters, digits and dashes."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "study"


def _write(target: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.chmod(0o644)
        temporary.replace(target)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
