"""Works out the figures of the folder from its files, without the program: openpyxl, odfpy, pandas, pyproj and rasterio.

Run in this folder: python truth.py > truth.json. It was run with Python 3.11, openpyxl 3.1.5, odfpy 1.4.1, pandas 3.1.1, pyproj 3.7.2.
"""

import json
import re
import xml.etree.ElementTree as ElementTree

import openpyxl
import pandas
from odf.opendocument import load
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.teletype import extractText
from pyproj import Geod

HERE = "folder/"
LATIN = {
    "Blackwood": "acacia-melanoxylon",
    "Silver wattle": "acacia-dealbata",
    "Green wattle": "acacia-irrorata",
    "Early wattle": "acacia-genistifolia",
    "Swamp gum": "eucalyptus-ovata",
}
figures = {}

# The planting book: days and paddocks reach over the rows of their joined cells; the row of totals is none of the plants.
rows = []
for sheet in openpyxl.load_workbook(HERE + "Planting book.xlsx"):
    book = pandas.DataFrame(sheet.iter_rows(min_row=5, max_col=4, values_only=True), columns=["day", "area", "species", "stems"])
    book = book[book.day != "Total"].ffill()
    rows.append(book)
book = pandas.concat(rows)
book["day"] = pandas.to_datetime(book.day)
figures["plantings.stems.all"] = int(book.stems.sum())
for area, stems in book.groupby("area").stems.sum().items():
    figures[f"plantings.stems.{area.lower()}"] = int(stems)
for species, stems in book.groupby("species").stems.sum().items():
    figures[f"plantings.species-stems.{LATIN[species]}"] = int(stems)
for year, stems in book.groupby(book.day.dt.year).stems.sum().items():
    figures[f"plantings.cohort-stems.{year}"] = int(stems)
figures["plantings.stems-in-period.all"] = int(book[book.day.dt.year == 2020].stems.sum())

# The tally: a tick a plant.
table = load(HERE + "Count in August.ods").spreadsheet.getElementsByType(Table)[0]
lines = [
    [extractText(cell) for cell in row.childNodes if cell.qname in (TableCell().qname, CoveredTableCell().qname)]
    for row in table.getElementsByType(TableRow)
]
count = pandas.DataFrame(lines[3:], columns=lines[2])
ticks = (count[["Alive", "Dead", "Gone"]] == "✓").astype(int)
assert (ticks.sum(axis=1) == 1).all()
count[["Alive", "Dead", "Gone"]] = ticks
count["Area"] = count.Plot.map({"T1": "Top", "T2": "Top", "G1": "Gully", "G2": "Gully"})
count["Set"] = 1
# A missing plant counts as dead. Areas are joined by the stems that were planted in each.
by_area = count.groupby("Area")[["Alive", "Gone", "Set"]].sum()
planted = book.groupby("area").stems.sum()
alive = by_area.Alive / by_area.Set
bound = (by_area.Alive + by_area.Gone) / by_area.Set
for area in alive.index:
    figures[f"survival.{area.lower()}"] = alive[area]
    figures[f"survival.bound-all-missing-alive.{area.lower()}"] = bound[area]
figures["survival.all"] = (alive * planted).sum() / planted.sum()
figures["diversity.richness.all"] = int(count[count.Alive > 0].Species.nunique())
# Plots are circles of 2.5 m.
for area in alive.index:
    figures[f"density.{area.lower()}"] = by_area.Alive[area] / (2 * 3.141592653589793 * 2.5**2 / 1e4)

# The bank: what went out, by category; a comma parts thousands.
bank = pandas.read_csv(HERE + "Transactions.csv", thousands=",")
out = -bank[bank.Amount < 0].set_index("Category").Amount
figures["spend.total"] = round(float(out.sum()), 2)
for line, amount in out.groupby(level=0).sum().items():
    figures[f"spend.line.{line.lower()}"] = round(float(amount), 2)

# The map and the walk, on the ellipsoid.
geod = Geod(ellps="WGS84")
names = {"k": "http://www.opengis.net/kml/2.2", "g": "http://www.topografix.com/GPX/1/1"}


def length(points):
    return geod.line_length(*zip(*points))


fences = []
for place in ElementTree.parse(HERE + "My places.kml").iter("{http://www.opengis.net/kml/2.2}Placemark"):
    name = place.find("k:name", names).text
    text = place.find(".//k:coordinates", names).text
    points = [tuple(float(number) for number in corner.split(",")[:2]) for corner in re.split(r"\s+", text.strip())]
    if place.find("k:Polygon", names) is not None:
        area, _ = geod.polygon_area_perimeter(*zip(*points))
        figures[f"site.area.{name.lower()}"] = abs(area) / 1e4
    elif name == "New fence":
        fences.append(length(points))
    elif name == "old track":
        figures["site.length.track.existing"] = length(points)
    elif name == "Creek":
        figures["site.length.watercourse.existing"] = length(points)
walk = ElementTree.parse(HERE + "Morning walk.gpx").iter("{http://www.topografix.com/GPX/1/1}trkpt")
fences.append(length([(float(point.get("lon")), float(point.get("lat"))) for point in walk]))
figures["site.length.fence.new"] = sum(fences)
figures["site.area.all"] = figures["site.area.top"] + figures["site.area.gully"]

# The camera roll, as `../as-kept/README.md` tells of it: two points, both with pictures of more than one day.
figures["photos.points"] = 2
figures["photos.pairs"] = 2

print(json.dumps(figures, indent=1, sort_keys=True))
