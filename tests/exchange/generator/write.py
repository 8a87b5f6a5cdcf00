"""Saves pages as a workbook or a text file."""

from __future__ import annotations

import csv
import datetime as dt
import io
from decimal import Decimal
from pathlib import Path
from random import Random

import openpyxl
import xlsxwriter
import xlwt
from odf import table as odf_table
from odf.opendocument import OpenDocumentSpreadsheet
from odf.text import P

from .page import Cell, Formula, Page
from .style import Style


def _plain(cell: Cell) -> object:
    """What a workbook library takes."""
    if isinstance(cell, Decimal):
        return float(cell)
    return float(cell.value) if isinstance(cell, Formula) else cell


def _openpyxl(path: Path, pages: list[Page], width: int) -> None:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for page in pages:
        sheet = book.create_sheet(page.name)
        down, across = page.offset
        for at, row in enumerate(page.rows, 1 + down):
            for column, cell in enumerate(row, 1 + across):
                if cell is not None:
                    sheet.cell(at, column, _plain(cell))
        for row_number in page.titles:
            if width > 1:
                sheet.merge_cells(start_row=row_number, end_row=row_number,
                                  start_column=1 + across, end_column=width + across)  # fmt: skip
    book.save(path)


def _xlsxwriter(path: Path, pages: list[Page], width: int) -> None:
    book = xlsxwriter.Workbook(str(path))
    time, date = book.add_format({"num_format": "hh:mm"}), book.add_format({"num_format": "dd.mm.yyyy"})
    for page in pages:
        sheet = book.add_worksheet(page.name)
        down, across = page.offset
        for at, row in enumerate(page.rows, down):
            if at + 1 in page.titles and width > 1:
                sheet.merge_range(at, across, at, across + width - 1, str(row[0]))
                continue
            for column, cell in enumerate(row, across):
                if isinstance(cell, Formula):
                    sheet.write_formula(at, column, cell.text, None, float(cell.value))
                elif isinstance(cell, dt.time):
                    sheet.write_datetime(at, column, cell, time)
                elif isinstance(cell, dt.date):
                    sheet.write_datetime(at, column, cell, date)
                elif isinstance(cell, str):
                    sheet.write_string(at, column, cell)
                elif cell is not None:
                    sheet.write_number(at, column, float(cell))
    book.close()


def _xls(path: Path, pages: list[Page], width: int) -> None:
    book = xlwt.Workbook()
    time, date = xlwt.easyxf(num_format_str="hh:mm"), xlwt.easyxf(num_format_str="dd.mm.yyyy")
    for page in pages:
        sheet = book.add_sheet(page.name)
        down, across = page.offset
        for at, row in enumerate(page.rows, down):
            for column, cell in enumerate(row, across):
                if isinstance(cell, dt.time):
                    sheet.write(at, column, cell, time)
                elif isinstance(cell, dt.date):
                    sheet.write(at, column, cell, date)
                elif cell is not None:
                    sheet.write(at, column, _plain(cell))
    book.save(str(path))


def _ods_cell(cell: Cell) -> odf_table.TableCell:
    if cell is None:
        return odf_table.TableCell()
    if isinstance(cell, dt.time):
        made = odf_table.TableCell(valuetype="time", timevalue=f"PT{cell.hour:02d}H{cell.minute:02d}M00S")
        made.addElement(P(text=f"{cell:%H:%M}"))
    elif isinstance(cell, dt.date):
        made = odf_table.TableCell(valuetype="date", datevalue=f"{cell:%Y-%m-%d}")
        made.addElement(P(text=f"{cell:%d.%m.%Y}"))
    elif isinstance(cell, str):
        made = odf_table.TableCell(valuetype="string")
        made.addElement(P(text=cell.lstrip(" ")) if not cell.startswith(" ") else _spaced(cell))
    else:
        value = _plain(cell)
        made = odf_table.TableCell(valuetype="float", value=repr(value))
        made.addElement(P(text=str(value)))
    return made


def _spaced(text: str) -> P:
    """A paragraph whose leading spaces survive, as an office program writes them."""
    from odf.text import S

    paragraph = P()
    lead = len(text) - len(text.lstrip(" "))
    paragraph.addElement(S(c=lead))
    paragraph.addText(text.lstrip(" "))
    return paragraph


def _ods(path: Path, pages: list[Page], width: int) -> None:
    book = OpenDocumentSpreadsheet()
    for page in pages:
        sheet = odf_table.Table(name=page.name)
        down, across = page.offset
        if down:
            empty = odf_table.TableRow(numberrowsrepeated=down)
            empty.addElement(odf_table.TableCell())
            sheet.addElement(empty)
        for row in page.rows:
            made = odf_table.TableRow()
            if across:
                made.addElement(odf_table.TableCell(numbercolumnsrepeated=across))
            for cell in row or [None]:
                made.addElement(_ods_cell(cell))
            sheet.addElement(made)
        book.spreadsheet.addElement(sheet)
    book.save(str(path))


def _text_cell(cell: Cell, style: Style) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Formula):
        return style.number(cell.value)
    if isinstance(cell, int | Decimal):
        return str(cell) if isinstance(cell, int) else style.number(cell)
    return str(cell)


def _text(path: Path, pages: list[Page], style: Style, rng: Random) -> None:
    (page,) = pages
    rows = [[_text_cell(cell, style) for cell in row] for row in page.rows]
    width = max(len(row) for row in rows)
    if rng.random() < 0.5:  # a spreadsheet program saves every row at full width
        rows = [row + [""] * (width - len(row)) for row in rows]
    out = io.StringIO()
    if style.separator == "|":
        spaced, outer = rng.random() < 0.5, rng.random() < 0.3
        for row in rows:
            line = (" | " if spaced else "|").join(row)
            out.write((f"| {line} |" if outer and row else line) + style.newline)
    else:
        quoting = csv.QUOTE_ALL if rng.random() < 0.1 else csv.QUOTE_MINIMAL
        writer = csv.writer(out, delimiter=style.separator, lineterminator=style.newline, quoting=quoting)
        writer.writerows(rows)
    text = out.getvalue()
    try:
        data = text.encode(style.encoding)
    except UnicodeEncodeError:  # a sign that the old code page lacks
        data = text.encode("utf-8")
    path.write_bytes(data)


def save(rng: Random, path: Path, pages: list[Page], style: Style) -> None:
    width = len(style.columns)
    if style.format == "xlsx":
        formulas = any(isinstance(cell, Formula) for page in pages for row in page.rows for cell in row)
        writer = _xlsxwriter if formulas or rng.random() < 0.5 else _openpyxl
        writer(path, pages, width)
    elif style.format == "xls":
        _xls(path, pages, width)
    elif style.format == "ods":
        _ods(path, pages, width)
    else:
        _text(path, pages, style, rng)
