"""Names people give studies and packs."""

from __future__ import annotations

import re
import unicodedata

from .errors import UserError

_NAME = re.compile(r"[\w][\w .+-]{0,62}[\w.+]?", re.UNICODE)


def checked_name(kind: str, name: str) -> str:
    """A name that may stand in files, pages and commands. Raises `UserError`.

    Path separators, quotes and control characters are refused: a name becomes part of file names.
    """
    tidy = unicodedata.normalize("NFC", name).strip()
    if not _NAME.fullmatch(tidy):
        raise UserError(
            f"{kind} name {name!r} cannot be used: letters, digits, spaces and . + - _ , up to 64 of them."
        )
    return tidy
