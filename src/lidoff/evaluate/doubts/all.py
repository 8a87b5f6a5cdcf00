"""Every check of the records of a pack, in the order they are told."""

from __future__ import annotations

from ...records import Pack, Study
from ..findings import Doubt
from ..layout import layout_figures
from ..mass import masses
from ..tree import Tree, build
from .assembly import assembly_doubts
from .doubled import doubled_doubts
from .geometry import geometry_doubts
from .ids import doubt_id
from .layout_count import layout_doubts
from .missing import missing_doubts
from .next import next_doubts

#: Kinds of doubt, one word or two each, fixed once published.
KINDS = (
    "parts tree",
    "mass unit",
    "size unit",
    "mass against size",
    "doubled line",
    "assembly",
    "weighing",
    "cell count",
    "module cells",
    "module count",
    "collector count",
    "voltage at arrival",
    "label voltage",
    "label energy",
    "mass missing",
    "by difference",
    "closure",
    "next weighing",
)

#: Samples behind the intervals of the check, as on screens.
SAMPLES = 1000


def check(study: Study) -> tuple[Doubt, ...]:
    """What looks wrong in the records of every pack of a study."""
    return tuple(doubt for pack in study.packs for doubt in check_pack(pack))


def check_pack(pack: Pack) -> tuple[Doubt, ...]:
    """What looks wrong in a pack, without what a person has answered "kept"."""
    tree = build(pack)
    mass = masses(pack, tree, SAMPLES)
    figures = {**mass.figures, **layout_figures(pack, tree, mass, SAMPLES)}
    kept = {question.id for question in pack.questions if question.answer == "kept"}
    doubts = (
        *_tree_doubts(pack, tree),
        *geometry_doubts(pack, tree),
        *doubled_doubts(pack, tree),
        *assembly_doubts(pack, tree, SAMPLES),
        *layout_doubts(pack, tree, figures),
        *missing_doubts(pack, tree, figures),
        *next_doubts(pack, tree, mass.lines, SAMPLES),
    )
    return tuple(doubt for doubt in doubts if doubt.id not in kept)


def _tree_doubts(pack: Pack, tree: Tree) -> list[Doubt]:
    return [
        Doubt(
            id=doubt_id("parts tree", pack, problem),
            pack=pack.id,
            item=None,
            kind="parts tree",
            where=problem.partition(":")[0],
            says=problem,
            proposed="correct the line",
        )
        for problem in tree.problems
    ]
