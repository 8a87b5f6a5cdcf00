"""Behaviour: what size and material say of a file's masses at import."""

from pathlib import Path

import pytest

from lidoff.app.bench import read_pack
from lidoff.evaluate import apply_edits

NO_UNIT = """Pos;Name;Qty;Mass;Material;Process;L mm;W mm;T mm
1;Pack;1;;;;2000;1200;140
1.1;Cover;1;12,4;steel;stamped;1900;1100;0,8
1.2;Plate;2;0,61;Al;stamped;800;100;2,5
1.3;Beam;4;1,9;Al 6060;extruded;1200;40;60
"""


def test_a_column_in_the_wrong_unit_is_one_question(tmp_path: Path) -> None:
    """12.4, 0.61 and 1.9 can only be kilograms for these sizes: one question, for the whole column."""
    file = tmp_path / "bench.csv"
    file.write_text(NO_UNIT, encoding="utf-8")
    pack = read_pack(file, pack_id="p").pack
    [question] = pack.questions
    assert "multiply the whole column, 3 lines, by 1000" in question.proposed
    corrected = apply_edits(pack, question.edits)
    masses = {item.name: item.mass.value for item in corrected.items if item.mass is not None}
    assert masses == pytest.approx({"Cover": 12.4, "Plate": 0.61, "Beam": 1.9}, rel=1e-12)


def test_one_slip_stays_one_question(tmp_path: Path) -> None:
    grams = NO_UNIT.replace("Mass;", "Mass g;").replace("0,61", "610").replace("1,9;", "1900;")
    file = tmp_path / "bench.csv"
    file.write_text(grams, encoding="utf-8")
    [question] = read_pack(file, pack_id="p").pack.questions
    assert "1.1 Cover" in question.what and len(question.edits) == 1
