"""Opens a spreadsheet in LibreOffice, lets its cells call the web, and prints
as JSON what its cells show. "sheets" has for each sheet, by name, a list of rows
of cells, each a number, a text, or null where it is empty; "formulas" lists the
formulas there are.

    python3 cells.py PROFILE-FOLDER FILE [--locale de-DE] [--set SHEET.CELL=TEXT]...
                     [--csv SEPARATOR] [--pdf FILE]

--locale takes the decimal sign and the separators of another country, --set
writes a text into a cell first, --csv reads the file as csv whose formulas are
to be computed, --pdf prints the document into a file too. The file's folder is
trusted in the profile, as a person does by allowing the document to update its
links.
"""

import argparse
import json
import pathlib
import subprocess
import sys
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.table.CellContentType import EMPTY, FORMULA, VALUE

SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Content/Update"><prop oor:name="Link" oor:op="fuse"><value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="SecureURL" oor:op="fuse"><value><it>{trusted}</it></value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop></item>
</oor:items>
"""


def connect(pipe):
    resolver = uno.getComponentContext().ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
    for _ in range(240):
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            time.sleep(0.5)
    sys.exit("LibreOffice does not answer")


def option(name, value):
    p = PropertyValue()
    p.Name, p.Value = name, value
    return p


def shown(cell):
    """What a cell shows: the result of a formula, an error as its text."""
    kind = cell.Type
    if kind == FORMULA and not cell.getError():
        kind = cell.FormulaResultType2
        return cell.Value if kind == 1 else cell.String
    if kind == EMPTY:
        return None
    return cell.Value if kind == VALUE else cell.String


def rows(sheet):
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    last = cursor.RangeAddress
    return [[shown(sheet.getCellByPosition(c, r)) for c in range(last.EndColumn + 1)] for r in range(last.EndRow + 1)]


def formulas(sheet):
    """The formulas of a sheet."""
    found = []
    for ranges in sheet.queryContentCells(16).Cells:  # com.sun.star.sheet.CellFlags.FORMULA
        found.append(ranges.Formula)
    return found


def read(desktop, args):
    options = [option("Hidden", True), option("UpdateDocMode", 3)]
    if args.csv:
        # separator, quotation mark, UTF-8, from line 1, ..., detect numbers, ..., evaluate formulas
        filter_options = f"{ord(args.csv)},34,76,1,,1033,false,true,false,false,false,0,true"
        options += [option("FilterName", "Text - txt - csv (StarCalc)"), option("FilterOptions", filter_options)]
    document = desktop.loadComponentFromURL(args.file.as_uri(), "_blank", 0, tuple(options))
    for assignment in args.set:
        place, text = assignment.split("=", 1)
        sheet, cell = place.split(".")
        document.Sheets.getByName(sheet).getCellRangeByName(cell).String = text
    document.calculateAll()
    if args.pdf:
        document.storeToURL(args.pdf.as_uri(), (option("FilterName", "calc_pdf_Export"),))
    sheets = [document.Sheets.getByName(name) for name in document.Sheets.ElementNames]
    found = {"sheets": {s.Name: rows(s) for s in sheets}, "formulas": [f for s in sheets for f in formulas(s)]}
    document.close(True)
    return found


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("profile", type=lambda p: pathlib.Path(p).resolve())
    parser.add_argument("file", type=lambda p: pathlib.Path(p).resolve())
    parser.add_argument("--locale", default="en-US")
    parser.add_argument("--set", action="append", default=[])
    parser.add_argument("--csv")
    parser.add_argument("--pdf", type=lambda p: pathlib.Path(p).resolve())
    args = parser.parse_args()
    (args.profile / "user").mkdir(parents=True)
    (args.profile / "user" / "registrymodifications.xcu").write_text(SETTINGS.format(trusted=args.file.parent.as_uri(), locale=args.locale))
    pipe = f"cells{args.file.stat().st_ino}"
    office = subprocess.Popen(
        ["soffice", "--headless", "--norestore", f"-env:UserInstallation={args.profile.as_uri()}", f"--accept=pipe,name={pipe};urp;"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        desktop = connect(pipe).ServiceManager.createInstance("com.sun.star.frame.Desktop")
        json.dump(read(desktop, args), sys.stdout)
        desktop.terminate()
        office.wait(30)
    finally:
        office.kill()


main()
