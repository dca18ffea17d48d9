"""Filled forms read by readers of another hand, python-docx and openpyxl, beside the forms as they were.

    python3 tests/program/forms.py sample-projects/lantern-rise/forms/catchment OUT/catchment/forms > told.json
    python3 tests/program/forms.py --check tests/program/forms.json …      # the same, held against what is stored

Says what each paragraph, cell and picture holds now, and stops where anything but placeholders changed: members of the file that hold
none, byte by byte; in the others every XML event but the text of placeholders, the rows that were asked to be repeated, and pictures.
"""
import json
import re
import sys
import zipfile
from collections import Counter
from pathlib import Path
from xml.parsers import expat

import docx
import openpyxl

PICTURE = set(
    "w:drawing wp:inline wp:extent wp:docPr a:graphic a:graphicData pic:pic pic:nvPicPr pic:cNvPr pic:cNvPicPr pic:blipFill a:blip "
    "a:stretch a:fillRect pic:spPr a:xfrm a:off a:ext a:prstGeom a:avLst".split()
)
MARK = re.compile(r"\{\{.*?\}\}")


def events(data):
    """Every event of an XML part: starts with their attributes, ends, text."""
    found, parser = [], expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = lambda name, of: found.append(("start", name, tuple(sorted(of.items()))))
    parser.EndElementHandler = lambda name: found.append(("end", name))
    parser.CharacterDataHandler = lambda text: found.append(("text", text))
    parser.Parse(data, True)
    return found


def plain(found):
    """The events without text of runs and cells, and without the space attribute that text may need."""
    out = []
    for one in found:
        if one[0] == "text":
            continue
        if one[0] == "start" and one[1].split(":")[-1] == "t":
            one = ("start", one[1], tuple(pair for pair in one[2] if pair[0] != "xml:space"))
        out.append(one)
    return out


def inserted_only(before, after, allowed):
    """Whether `after` is `before` with nothing taken away, and nothing put in that is not within elements of `allowed` names."""
    rest = iter(after)
    for one in before:
        if one not in rest:  # `in` reads on from where it stands: the events of `before` come in their order
            return f"{one} is gone"
    more = Counter(one for one in after if one[0] == "start")
    more.subtract(one for one in before if one[0] == "start")
    known = {one[1] for one in before if one[0] == "start"} if "w:tr" in allowed else set()
    strange = [one for one, count in more.items() if count > 0 and one[1] not in allowed | known]
    return f"{strange[0]} was put in" if strange else None


def members(before, after):
    told = {"the same": [], "changed": [], "new": []}
    one, other = zipfile.ZipFile(before), zipfile.ZipFile(after)
    assert [name for name in other.namelist() if name in one.namelist()] == one.namelist(), "members in another order, or gone"
    for name in other.namelist():
        new = other.read(name)
        if name not in one.namelist():
            told["new"].append(name)
        elif new == one.read(name):
            assert one.getinfo(name).date_time == other.getinfo(name).date_time
            told["the same"].append(name)
        else:
            told["changed"].append(name)
            held = one.read(name).decode()
            if name.startswith("word/") and not name.endswith(".rels"):
                why = inserted_only(plain(events(held)), plain(events(new)), {"w:tr", "w:br"} | PICTURE)
            elif name == "[Content_Types].xml":
                why = inserted_only(plain(events(held)), plain(events(new)), {"Default"})
            elif name.endswith(".rels"):
                why = inserted_only(plain(events(held)), plain(events(new)), {"Relationship"})
            elif name == "xl/sharedStrings.xml":
                why = None if plain(events(held)) == plain(events(new)) else "more than words changed"
            else:
                why = None  # cells: by openpyxl below
            assert why is None, f"{name}: {why}"
    return told


def style(cell):
    return [cell.number_format, cell.font.b, cell.font.sz, cell.fill.fgColor.rgb, cell.border.bottom.style, cell.alignment.horizontal]


def of_book(before, after):
    was, now = openpyxl.load_workbook(before), openpyxl.load_workbook(after)
    assert was.sheetnames == now.sheetnames
    told = {}
    for sheet in was:
        other = now[sheet.title]
        assert sheet.merged_cells.ranges == other.merged_cells.ranges
        assert {key: value.width for key, value in sheet.column_dimensions.items()} == {key: value.width for key, value in other.column_dimensions.items()}
        cells = {}
        for row in other.iter_rows():
            for cell in row:
                old = sheet[cell.coordinate]
                assert style(old) == style(cell), f"{cell.coordinate}: another style"
                formula = isinstance(old.value, str) and old.value.startswith("=")
                if formula:
                    assert old.value == cell.value and cell.data_type == "f", f"{cell.coordinate}: a formula changed"
                elif old.value != cell.value:
                    assert cell.data_type != "f", f"{cell.coordinate}: text became a formula"
                    asked = isinstance(old.value, str) and MARK.search(old.value)
                    above = [sheet.cell(up, cell.column).value for up in range(1, cell.row)]
                    listed = old.value is None and any(isinstance(value, str) and ("{{rows." in value or ".*}}" in value) for value in above)
                    assert asked or listed, f"{cell.coordinate} held no placeholder: {old.value!r} became {cell.value!r}"
                    cells[cell.coordinate] = [cell.data_type, str(cell.value)]
        told[sheet.title] = cells
    return told


def of_words(before, after):
    was, now = docx.Document(before), docx.Document(after)
    assert [p.style.name for p in was.paragraphs] == [p.style.name for p in now.paragraphs]
    for old, new in zip(was.paragraphs, now.paragraphs):
        assert MARK.search(old.text) or old.text == new.text, f"{old.text!r} became {new.text!r}"
        own = [run for run in new.runs if "hillfolioPicture" not in run._r.xml]
        assert [[r.bold, r.italic, r.font.size, r.style.name] for r in old.runs] == [[r.bold, r.italic, r.font.size, r.style.name] for r in own]
    for old, new in zip(was.tables, now.tables):
        assert old.style.name == new.style.name
    return {
        "head": [p.text for p in now.sections[0].header.paragraphs],
        "paragraphs": [p.text for p in now.paragraphs],
        "tables": [[[cell.text for cell in row.cells] for row in table.rows] for table in now.tables],
        "pictures": [[shape.width, shape.height] for shape in now.inline_shapes],
    }


def told(forms, filled):
    out = {}
    for form in sorted(Path(forms).iterdir()):
        after = Path(filled) / form.name
        read = of_words if form.suffix == ".docx" else of_book
        out[form.name] = {"members": members(form, after), "holds": read(form, after)}
    return json.dumps(out, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    if sys.argv[1] == "--check":
        now, then = told(*sys.argv[3:5]), Path(sys.argv[2]).read_text()
        if now != then:
            sys.exit(f"the forms hold something else than {sys.argv[2]}:\n{now}")
        print("the filled forms hold what is stored, and nothing else of them changed")
    else:
        print(told(*sys.argv[1:3]), end="")
