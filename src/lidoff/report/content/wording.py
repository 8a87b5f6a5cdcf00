"""The sentence: what the data carry, and no more."""

from __future__ import annotations

from ...evaluate.findings import CostStatus
from ...pictures.numbers import by_interval
from ...records import Function
from ..blocks import Run, Text, say, strong
from .cover import joined
from .story import Story, Told
from .tables import FigureLine, compared_lines
from .tell import covers_text, scale_of, value

#: How a difference is said where the first pack has less, or more.
_LESS_MORE = {
    "energy_nominal": ("holds {} less energy", "holds {} more energy"),
    "mass_rolled": ("is {} lighter", "is {} heavier"),
    "specific_energy": ("carries {} less", "carries {} more"),
    "structure_per_kwh": ("needs {} less structure", "needs {} more structure"),
}
_COST = {
    "cost_per_kwh": ("costs {} less", "costs {} more"),
    "tooling_investment": ("needs {} less tooling", "needs {} more tooling"),
}


def sentence(story: Story) -> Text:
    """The answer in words: settled differences, what is not settled, what the cost covers."""
    if len(story.packs) == 2 and story.comparison is not None:
        return _two(story) + _cost_caveat(story)
    return tuple(run for told in story.packs for run in _one(told)) + _cost_caveat(story)


def _two(story: Story) -> Text:
    first, second = story.packs
    lines = compared_lines(story, [*_LESS_MORE, *_COST])
    settled = [line for line in lines if line.gap is not None and line.gap.settled]
    open_lines = [line for line in lines if line.gap is not None and not line.gap.settled]
    scope = "Like for like, " if story.comparison is not None and story.comparison.left_out else ""
    runs: list[Run | str] = []
    plain = [line for line in settled if line.name in _LESS_MORE]
    if plain:
        runs += [
            f"{scope}{first.name} ",
            *_listed([_phrase(line) for line in plain]),
            f" than {second.name}. ",
        ]
    costs = [line for line in lines if line.name in _COST and line.gap is not None]
    firm = [line for line in costs if line.covered and line in settled]
    if firm:
        runs += [f"In what is costed, {first.name} ", *_listed([_phrase(line) for line in firm]), ". "]
    if costs and not all(line.covered for line in costs):
        runs += ["Which pack costs less is ", strong("not settled"), ": too little is costed. "]
    rest = [line for line in open_lines if line.name not in _COST or line.covered]
    if rest:
        titles = joined([_lower(line.title) for line in rest])
        runs += ["Also " if runs and costs and not firm else "", "open within the intervals: ", titles, ". "]
    if not lines:
        runs.append(f"{first.name} and {second.name} share no figure that could be compared. ")
    return say(*runs)


def _lower(title: str) -> str:
    return title[:1].lower() + title[1:]


def _phrase(line: FigureLine) -> list[Run | str]:
    gap = line.gap
    assert gap is not None  # only settled lines are phrased
    scaled = scale_of(list(line.values.values()))
    less, more = (_LESS_MORE | _COST)[line.name]
    before, _, after = (less if gap.value < 0 else more).partition("{}")
    low, high = sorted((abs(gap.low), abs(gap.high)))
    amount = by_interval(abs(gap.value) / scaled.factor, low / scaled.factor, high / scaled.factor)
    return [before, strong(f"{amount} {scaled.unit}"), after]


def _listed(phrases: list[list[Run | str]]) -> list[Run | str]:
    """Phrases with commas, and "and" before the last."""
    runs: list[Run | str] = []
    for n, phrase in enumerate(phrases):
        if n:
            runs.append(" and " if n == len(phrases) - 1 else ", ")
        runs += phrase
    return runs


def _one(told: Told) -> Text:
    parts: list[Run | str] = []
    for name, word in (("mass_rolled", "weighs"), ("energy_nominal", "holds"), ("cost_piece", "costs")):
        figure = told.figure(name)
        if figure is None or figure.value is None:
            continue
        scaled = scale_of([figure])
        if name == "cost_piece":
            word = "costs, in what is costed,"
        parts += [", " if parts else "", f"{word} ", strong(f"{value(figure, scaled)} {scaled.unit}")]
    return say(f"{told.name} ", *parts, ". ") if parts else say(f"{told.name} has no figure yet. ")


def _cost_caveat(story: Story) -> Text:
    parts: list[str] = []
    for told in story.packs:
        figure = told.figure("cost_piece")
        if figure is not None and figure.value is not None and figure.covers is not None:
            parts.append(f"{told.name} {covers_text(figure.covers)}")
    if not parts:
        return say("No line could be costed.")
    cells = "; cells are not costed" if _cells_open(story) else ""
    return say(f"The cost of {'; of '.join(parts)}{cells}.")


def _cells_open(story: Story) -> bool:
    return any(
        line.function is Function.CELLS and line.status is CostStatus.NOT_COSTED
        for told in story.packs
        for line in told.findings.cost_lines
    )
