"""Opens spreadsheets in LibreOffice, lets their cells call the web, and tells as
JSON what the cells show. One LibreOffice opens one document after another: each
line of the input is an object that names a document, each line of the output has
"sheets", for each sheet, by name, a list of rows of cells, each a number, a text,
or null where it is empty, and "formulas", a list of those there are.

    python3 cells.py PROFILE-FOLDER TRUSTED-FOLDER LOCALE

The locale, such as de-DE, brings the decimal sign and the separators of its
country. The trusted folder is where documents may update their links, as a person
allows them to. An object has the members "file"; "set", a list of SHEET.CELL=TEXT
that are written first; "csv", the separator of a csv file whose formulas are to
be computed; "pdf", a file into which the document is printed too.
"""

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
    for _ in range(1200):
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            time.sleep(0.1)
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


def read(desktop, wanted):
    options = [option("Hidden", True), option("UpdateDocMode", 3)]
    if separator := wanted.get("csv"):
        # separator, quotation mark, UTF-8, from line 1, ..., detect numbers, ..., evaluate formulas
        filter_options = f"{ord(separator)},34,76,1,,1033,false,true,false,false,false,0,true"
        options += [option("FilterName", "Text - txt - csv (StarCalc)"), option("FilterOptions", filter_options)]
    document = desktop.loadComponentFromURL(pathlib.Path(wanted["file"]).as_uri(), "_blank", 0, tuple(options))
    for assignment in wanted.get("set") or []:
        place, text = assignment.split("=", 1)
        sheet, cell = place.split(".")
        document.Sheets.getByName(sheet).getCellRangeByName(cell).String = text
    document.calculateAll()
    if pdf := wanted.get("pdf"):
        document.storeToURL(pathlib.Path(pdf).as_uri(), (option("FilterName", "calc_pdf_Export"),))
    sheets = [document.Sheets.getByName(name) for name in document.Sheets.ElementNames]
    found = {"sheets": {s.Name: rows(s) for s in sheets}, "formulas": [f for s in sheets for f in formulas(s)]}
    document.close(True)
    return found


def main():
    profile, trusted = (pathlib.Path(p).resolve() for p in sys.argv[1:3])
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(SETTINGS.format(trusted=trusted.as_uri(), locale=sys.argv[3]))
    pipe = f"cells{profile.stat().st_ino}"
    office = subprocess.Popen(
        ["soffice", "--headless", "--norestore", f"-env:UserInstallation={profile.as_uri()}", f"--accept=pipe,name={pipe};urp;"],
        stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        desktop = connect(pipe).ServiceManager.createInstance("com.sun.star.frame.Desktop")
        for line in sys.stdin:
            print(json.dumps(read(desktop, json.loads(line))), flush=True)
        desktop.terminate()
        office.wait(30)
    finally:
        office.kill()


main()
