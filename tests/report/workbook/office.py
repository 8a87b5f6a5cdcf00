"""LibreOffice as an outside reckoner: it opens workbooks, recalculates every formula and saves them."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

#: Debian package libreoffice-calc.
SOFFICE = shutil.which("soffice") or shutil.which("libreoffice")

#: Always recalculate on loading a workbook: kept values are never taken over.
_SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
</item>
</oor:items>
"""


def recalculate(files: Sequence[Path], out: Path, profile: Path) -> None:
    """Recalculate workbooks in one process with a profile of its own; results keep their names."""
    assert SOFFICE is not None
    user = profile / "user"
    user.mkdir(parents=True, exist_ok=True)
    (user / "registrymodifications.xcu").write_text(_SETTINGS, "utf-8")
    command = [SOFFICE, f"-env:UserInstallation={profile.as_uri()}", "--headless", "--norestore"]
    command += ["--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(out)]
    done = subprocess.run(
        [*command, *map(str, files)], capture_output=True, text=True, timeout=300, check=False
    )
    missing = [file.name for file in files if not (out / file.name).exists()]
    assert not missing, f"not recalculated: {missing}: {done.stdout} {done.stderr}"
