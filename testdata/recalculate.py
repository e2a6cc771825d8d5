"""Opens a spreadsheet in LibreOffice, lets its cells call the web, and prints
the cells of column C from row 2 down as text, a line each.

    python3 recalculate.py PROFILE-FOLDER SHEET-FILE

The sheet's folder is trusted in the profile, as a person does by allowing the
document to update its links.
"""

import pathlib
import subprocess
import sys
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException

SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Content/Update"><prop oor:name="Link" oor:op="fuse"><value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="SecureURL" oor:op="fuse"><value><it>{trusted}</it></value></prop></item>
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


def main(profile, sheet):
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(SETTINGS.format(trusted=sheet.parent.as_uri()))
    pipe = f"recalculate{sheet.stat().st_ino}"
    office = subprocess.Popen(
        ["soffice", "--headless", "--norestore", f"-env:UserInstallation={profile.as_uri()}", f"--accept=pipe,name={pipe};urp;"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        desktop = connect(pipe).ServiceManager.createInstance("com.sun.star.frame.Desktop")
        document = desktop.loadComponentFromURL(sheet.as_uri(), "_blank", 0, (option("Hidden", True), option("UpdateDocMode", 3)))
        document.calculateAll()
        cells = document.Sheets.getByIndex(0)
        row = 1
        while cells.getCellByPosition(0, row).String:
            print(cells.getCellByPosition(2, row).String)
            row += 1
        document.close(True)
        desktop.terminate()
        office.wait(30)
    finally:
        office.kill()


main(pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2]).resolve())
