"""Drives LibreOffice through its Python bridge; run by the system's Python, which the bridge belongs to.

Takes a task file: the workbook, runs of input cells, how many samples to time, and where the piece costs
stand. Prints seconds a sample and the piece costs at nominal values as JSON.
"""

import json
import random
import statistics
import subprocess
import sys
import time
import uuid
from pathlib import Path

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException


def connected(pipe):
    resolver = uno.getComponentContext().ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
    for _ in range(300):
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            time.sleep(0.1)
    raise SystemExit("LibreOffice did not answer")


def measured(desktop, task):
    hidden = PropertyValue()
    hidden.Name, hidden.Value = "Hidden", True
    document = desktop.loadComponentFromURL(uno.systemPathToFileUrl(task["file"]), "_blank", 0, (hidden,))
    sheets = document.Sheets
    document.calculateAll()
    figures = sheets.getByName("Figures")
    told = {
        f"piece {n}": figures.getCellByPosition(column, task["row"]).Value
        for n, column in enumerate(task["columns"])
    }
    # The quickest way it has: nothing is shown, nothing recalculates before all is set.
    document.enableAutomaticCalculation(False)
    document.lockControllers()
    document.addActionLock()
    ranges = [
        (
            sheets.getByName(sheet).getCellRangeByPosition(column, first, column, first + len(values) - 1),
            values,
        )
        for sheet, column, first, values in task["runs"]
    ]
    whole = figures.getCellRangeByPosition(0, 0, max(task["columns"]), task["rows"] - 1)
    draw = random.Random(1).gauss
    drawn = [
        [tuple((value * (1.0 + 0.01 * draw(0.0, 1.0)),) for value in values) for _, values in ranges]
        for _ in range(task["timed"])
    ]
    times, recalculations = [], []
    for sample in drawn:
        began = time.perf_counter()
        for (cells, _), values in zip(ranges, sample, strict=True):
            cells.setDataArray(values)
        start = time.perf_counter()
        document.calculate()
        recalculations.append(time.perf_counter() - start)
        whole.getDataArray()
        times.append(time.perf_counter() - began)
    document.close(True)
    told["median"], told["best"] = statistics.median(times), min(times)
    told["recalculation"] = min(recalculations)
    return told


def main():
    task = json.loads(Path(sys.argv[1]).read_text("utf-8"))
    pipe = f"samples{uuid.uuid4().hex[:8]}"
    office = subprocess.Popen(
        ["soffice", f"-env:UserInstallation=file://{task['profile']}", "--headless", "--norestore",
         f"--accept=pipe,name={pipe};urp;"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        context = connected(pipe)
        desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        print(json.dumps(measured(desktop, task)))
        desktop.terminate()
    finally:
        try:
            office.wait(timeout=20)
        except subprocess.TimeoutExpired:
            office.kill()


if __name__ == "__main__":
    main()
