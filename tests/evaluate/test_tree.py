"""Behaviour: counts down the tree, functions handed down, what is wrong with a tree."""

from by_hand import fact, pack, part

from lidoff.evaluate.tree import build
from lidoff.records import Function


def test_quantities_multiply_down_the_tree() -> None:
    tree = build(
        pack(
            part("1", "pack"),
            part("1.3", "module", quantity=12),
            part("1.3.1", "carrier", quantity=2),
            part("1.3.1.1", "cell", 0.07, quantity=180),
        )
    )
    cell = tree.nodes["1.3.1.1"]
    assert cell.count == 12 * 2 * 180
    assert tree.count_below(cell, "1.3") == 360
    assert tree.quantities(cell) == (12, 2, 180)


def test_a_function_is_handed_down_until_a_line_has_its_own() -> None:
    tree = build(
        pack(
            part("1", "pack"),
            part("1.1", "cover group", function="cover"),
            part("1.1.1", "panel", 20.0),
            part("1.1.2", "screw", 0.01, function="fasteners"),
        )
    )
    assert tree.nodes["1.1.1"].function is Function.COVER
    assert tree.nodes["1.1.2"].function is Function.FASTENERS
    assert tree.nodes["1"].function is None


def test_held_lines_and_all_below_them_are_left_out() -> None:
    tree = build(
        pack(
            part("1", "pack"),
            part("1.1", "box", held=True),
            part("1.1.1", "fuse", 0.3),
            part("1.2", "nut", 0.01),
        )
    )
    assert [node.item.id for node in tree.leaves] == ["1.2"]


def test_a_line_that_is_part_of_itself_is_told_and_left_out() -> None:
    loop = (part("a", "one", 1.0, parent="b"), part("b", "two", 1.0, parent="a"))
    tree = build(pack(part("c", "nut", 0.01, parent=None), *loop))
    assert [node.item.id for node in tree.leaves] == ["c"]
    assert len([p for p in tree.problems if "part of itself" in p]) == 2


def test_a_line_whose_assembly_is_missing_is_told_and_still_counted() -> None:
    tree = build(pack(part("9.9", "orphan", 1.0, quantity=3)))
    assert tree.nodes["9.9"].count == 3
    assert any("its assembly is not in the list" in p for p in tree.problems)


def test_no_quantity_is_one_off_and_said() -> None:
    tree = build(pack(part("1", "cover", 2.0, quantity=None)))
    assert tree.nodes["1"].count == 1
    assert any("taken as one off" in p for p in tree.problems)


def test_a_line_that_only_repeats_the_pack_is_no_part_of_it() -> None:
    sides = (fact("envelope_length", 2.0, "mm"), fact("envelope_width", 1.3, "mm"))
    heading = part("0", "battery complete", size=(2010, 1290, 140), parent=None)
    loose = part("7", "labels", parent=None)
    tree = build(pack(heading, loose, part("8", "tray", 30.0, parent=None), facts=sides))
    assert [node.item.id for node in tree.leaves] == ["7", "8"]


def test_a_function_nobody_understands_is_said() -> None:
    tree = build(pack(part("1", "thing", 2.0, function="gubbins")))
    assert tree.nodes["1"].function is None
    assert any("'gubbins' is not understood" in p for p in tree.problems)
