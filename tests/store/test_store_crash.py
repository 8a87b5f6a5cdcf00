"""Behaviour: a process killed at any moment leaves the old state or the new, never half of one."""

from __future__ import annotations

import hashlib
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine
from store_samples import a_pack

from lidoff.records import Pack, Study
from lidoff.store import Store
from lidoff.store.attachments import Source
from lidoff.store.plain import from_text


def killed(work: Callable[[], None]) -> bool:
    """Run a piece of work in a forked process; whether it was killed on the way."""
    child = os.fork()
    if child == 0:
        try:
            work()
        except BaseException:
            os._exit(1)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0
    return os.WIFSIGNALED(status)


def die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def check_whole(workspace: Path) -> Study:
    """The store opens and agrees with itself: rows, history and attachments."""
    with Store.open(workspace) as opened:
        study = opened.load("s")
        assert [r.number for r in opened.history("s")] == list(range(study.revision, 0, -1))
        named = {a.hash: a.size for a in opened.attachments("s")}
    with closing(sqlite3.connect(workspace / "lidoff.db")) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
        last = dict(
            database.execute(
                "SELECT id, after FROM revision_entry WHERE kind = 'item' ORDER BY revision"
            ).fetchall()
        )
        kept = dict(database.execute("SELECT hash, size FROM attachment").fetchall())
    items = {i.id: i for pack in study.packs for i in pack.items}
    assert {k: from_text(type(items[k]), v) for k, v in last.items() if v} == items
    assert named.items() <= kept.items()
    for digest, size in kept.items():
        content = (workspace / "attachments" / digest[:2] / digest).read_bytes()
        assert (hashlib.sha256(content).hexdigest(), len(content)) == (digest, size)
    return study


def old_and_new() -> tuple[Pack, Pack]:
    """Two states of a pack: the new one has items changed, gone and added."""
    old = a_pack(40, remarks="old")
    kept = tuple(replace(i, remarks="new") if n % 2 else i for n, i in enumerate(old.items[5:]))
    return old, replace(old, items=kept + a_pack(45).items[40:])


def test_killed_at_every_statement_of_a_save(store: Store, workspace: Path) -> None:
    old, new = old_and_new()
    revision = store.save_pack("s", old, who="Ines", summary="", make_study=True)
    store.close()
    for moment in range(200):

        def work(moment: int = moment) -> None:
            seen = 0

            def count(*_: object) -> None:
                nonlocal seen
                seen += 1
                if seen > moment:
                    die()

            with Store.open(workspace) as opened:
                event.listen(Engine, "before_cursor_execute", count)
                event.listen(Engine, "commit", count)
                opened.save_pack("s", new, who="Jo", summary="")

        if not killed(work):
            break
        study = check_whole(workspace)
        assert (study.revision, study.packs) == (revision, (old,))
    assert moment > 15, "the save has that many statements"
    study = check_whole(workspace)
    assert (study.revision, study.packs) == (revision + 1, (new,))


@pytest.mark.parametrize("call", ["write", "fsync", "replace", "unlink", "close", "none"])
def test_killed_at_every_call_of_an_attachment(
    store: Store, workspace: Path, call: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = store.attach(b"first", "first.jpg")
    store.save_pack("s", a_pack(1), who="Ines", summary="", files=[kept], make_study=True)
    store.close()
    content = random.Random(7).randbytes(3_000_000)

    class Stream:
        """Hands out the content and dies in the middle, if it is to."""

        def __init__(self) -> None:
            self.at = 0

        def read(self, size: int) -> bytes:
            if call == "write" and self.at:
                die()
            self.at += size
            return content[self.at - size : self.at]

    def dying(*_: object, **__: object) -> None:
        die()

    def work() -> None:
        with Store.open(workspace) as opened:
            if call in ("fsync", "close"):
                monkeypatch.setattr(os, call, dying)
            elif call in ("replace", "unlink"):
                monkeypatch.setattr(Path, call, dying)
            source: Source = Stream()  # type: ignore[assignment]
            second = opened.attach(source, "second.jpg")
            opened.save_pack("s", a_pack(2), who="Jo", summary="", files=[second])

    was_killed = killed(work)
    assert was_killed is (call not in ("none", "unlink"))
    study = check_whole(workspace)
    assert study.packs == ((a_pack(1) if was_killed else a_pack(2)),)
    with Store.open(workspace) as opened:  # and it can be done again
        again = opened.attach(content, "second.jpg")
        assert opened.read_attachment(again.hash) == content


CHILD = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from store_samples import a_pack
from lidoff.store import Store
with Store.open(Path(sys.argv[1])) as store:
    packs = [(mark, a_pack(700, remarks=mark)) for mark in ("odd", "even")]
    print("ready", flush=True)
    for turn in range(1000):
        mark, pack = packs[turn % 2]
        kept = store.attach(f"{turn} {mark}".encode() * 50_000, "photo.jpg")
        store.save_pack("s", pack, who=mark, summary="", files=[kept], make_study=True)
"""


def test_killed_at_random_moments(workspace: Path) -> None:
    seed = random.SystemRandom().randrange(2**32)
    print(f"seed {seed}")
    draw = random.Random(seed)
    states = {a_pack(700, remarks=mark).items for mark in ("odd", "even")}
    revisions = [0]
    tries = 0
    # Five kills; on a slow machine more, until one has come after a second save.
    while tries < 5 or (revisions[-1] < 2 and tries < 40):
        tries += 1
        child = subprocess.Popen(
            [sys.executable, "-c", CHILD, str(workspace), str(Path(__file__).parent)], stdout=subprocess.PIPE
        )
        with child:
            assert child.stdout is not None
            assert child.stdout.readline() == b"ready\n"
            time.sleep(0.15 + draw.random() * (0.5 + 0.2 * tries))
            assert child.poll() is None
            child.kill()
        if not _has_study(workspace):
            continue
        study = check_whole(workspace)
        assert study.packs[0].items in states
        revisions.append(study.revision)
    assert revisions == sorted(revisions) and revisions[-1] > 1


def _has_study(workspace: Path) -> bool:
    with Store.open(workspace) as opened:
        return bool(opened.studies())


def test_killed_while_the_tables_are_made(workspace: Path) -> None:
    """Tables come all at once or not at all, and the next opening makes them."""
    for moment in range(0, 60, 4):

        def work(moment: int = moment) -> None:
            seen = 0

            def count(_: object, __: object, statement: str, *___: object) -> None:
                nonlocal seen
                seen += statement.lstrip().startswith("CREATE")
                if seen > moment:
                    die()

            event.listen(Engine, "before_cursor_execute", count)
            Store.open(workspace).close()

        if not killed(work):
            break
        with closing(sqlite3.connect(workspace / "lidoff.db")) as database:
            assert database.execute("SELECT name FROM sqlite_master").fetchall() == []
    assert moment > 20, "there are more than twenty tables"
    with Store.open(workspace) as opened:
        assert opened.create_study("s", who="Ines") == 1
