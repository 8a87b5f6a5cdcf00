"""Electrical layout basics: cells, voltages, energy, held against the label."""

from __future__ import annotations

from ...evaluate.findings import WorkedLine
from ...pictures.numbers import unit_text
from ...quantities import parse_unit
from ...records import FACTS
from ..blocks import Beside, Block, Column, Heading, Paragraph, Row, Section, Set, Style, Table, say
from .caution import short_caution
from .story import Story, Told
from .tables import figure_table, own_lines
from .tell import quiet, short_number, words

FIGURES = (
    "cell_count",
    "voltage_nominal",
    "voltage_max",
    "voltage_min",
    "energy_nominal",
    "specific_energy",
    "energy_density",
)
#: Notes of a pack shown beside the figures, where a bench took them.
NOTED = (
    "cell_format", "cell_chemistry", "cells_series", "cells_parallel", "cell_voltage", "cell_capacity",
    "cell_resistance", "pack_resistance", "label_voltage", "label_energy", "label_capacity",
    "voltage_arrival", "isolation_plus", "isolation_minus", "isolation_test_voltage", "fuse_current",
    "fuse_voltage", "contactor_current", "contactor_voltage",
)  # fmt: skip
LABEL = "label less computed"


def electrical(story: Story) -> Section:
    return Section(
        anchor="electrical",
        title="Electrical layout",
        short="Electrical",
        own_sheet=False,
        blocks=(
            figure_table(story, "Electrical figures", own_lines(story, FIGURES)),
            Beside(
                parts=(
                    (Heading(text=say("As noted at the bench")), _noted(story)),
                    (*_label(story), short_caution()),
                ),
                shares=(0.5, 0.5),
            ),
        ),
    )


def _label(story: Story) -> tuple[Block, ...]:
    rows: list[Row] = []
    for told in story.packs:
        for name in ("voltage_nominal", "energy_nominal"):
            figure = told.figure(name)
            line = next((w for w in figure.working if w.name == LABEL), None) if figure is not None else None
            if figure is not None and line is not None:
                rows.append(_label_row(told, figure.title, line))
    if not rows:
        text = say("No label reading to hold the computed values against.")
        return (Paragraph(text=text, style=Style.NOTE),)
    columns = (
        Column(head="Pack", width=0.8),
        Column(head="Figure", width=1.2),
        Column(head="Label − computed", set=Set.QUIET, width=1.4),
        Column(head="Difference", set=Set.NUMBER),
        Column(head="", set=Set.UNIT),
        Column(head="Verdict", width=2.0),
    )
    return (
        Heading(text=say("Held against the label")),
        Table(told="Computed values against the label", columns=columns, rows=tuple(rows), small=True),
    )


def _label_row(told: Told, title: str, line: WorkedLine) -> Row:
    cells = (
        words(told.name),
        words(title),
        quiet(line.put_in),
        words(short_number(float(f"{line.value:.3g}"))),
        quiet(unit_text(line.unit)),
        words(line.about),
    )
    return Row(cells=cells)


def _noted(story: Story) -> Table:
    columns = [Column(head="Note", width=1.6), Column(head="", set=Set.UNIT)]
    columns += [Column(head=told.name, set=Set.NUMBER, width=0.9) for told in story.packs]
    rows = []
    for key in NOTED:
        kind = FACTS[key]
        texts = [_note(told, key) for told in story.packs]
        if any(texts):
            cells = (
                words(kind.about),
                quiet(unit_text(kind.unit)),
                *(words(t or "not noted") for t in texts),
            )
            rows.append(Row(cells=cells))
    return Table(told="Electrical notes", columns=tuple(columns), rows=tuple(rows), small=True)


def _note(told: Told, key: str) -> str:
    if FACTS[key].is_word:
        return (told.pack.word(key) or "").strip()
    reading = told.pack.fact(key)
    return "" if reading is None else short_number(parse_unit(FACTS[key].unit).from_si(reading.value))
