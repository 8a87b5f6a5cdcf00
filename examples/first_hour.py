"""The whole job from Python: import a bench file, answer its questions, evaluate, compare, report.

Run it with a folder to work in: ``python examples/first_hour.py FOLDER``.
"""

import sys
from pathlib import Path

from lidoff.app import Workspace
from lidoff.demo import files


def main(folder: Path) -> list[Path]:
    desk = Workspace.open(folder / "records")

    for pack in files():  # any workbook or text file with a parts list works the same
        outcome = desk.import_file(pack.path, study="first hour", pack=pack.name)
        print(f"{pack.name}: {outcome.items} lines, {len(outcome.questions)} questions")
        desk.accept("first hour", pack.name, [question.id for question in outcome.questions])

    scenario = desk.scenario(desk.study("first hour"), volume=50_000)
    findings = desk.evaluate("first hour", scenario=scenario)
    for pack_findings in findings.packs.values():
        mass = pack_findings.figures["mass_rolled"]
        print(f"{pack_findings.name}: {mass.value:.1f} kg ({mass.low:.1f} to {mass.high:.1f})")

    comparison = desk.compare("first hour", findings, like_for_like=True)
    for row in comparison.rows:
        if row.difference is not None and not row.difference.settled:
            print(f"not settled: {row.title}")

    return desk.report("first hour", folder / "report", formats=("html",), scenario=scenario, samples=1000)


if __name__ == "__main__":
    for path in main(Path(sys.argv[1])):
        print(path)
