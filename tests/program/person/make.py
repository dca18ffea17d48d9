"""Makes the files of a folder as a person would have it: a planting book, a tally, a bank's export, a map and a walk drawn with a telephone.

Run with Python 3.11, openpyxl 3.1.5 and odfpy 1.4.1 in this folder. Everything in them is invented; truth.py works out the figures.
"""

import datetime

from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P
from openpyxl import Workbook
from openpyxl.styles import Font

HERE = "folder/"


def book():
    """Two years, a sheet each: titles, days and paddocks in joined cells, common names, a row of totals."""
    years = {
        "2019": [
            (datetime.date(2019, 5, 11), "Top", [("Blackwood", 120), ("Green wattle", 80), ("Early wattle", 45)]),
            (datetime.date(2019, 5, 12), "Gully", [("Blackwood", 60), ("Swamp gum", 95)]),
        ],
        "2020": [
            (datetime.date(2020, 5, 3), "Top", [("Green wattle", 70), ("Silver wattle", 55), ("Blackwood", 40)]),
            (datetime.date(2020, 5, 9), "Gully", [("Silver wattle", 65), ("Swamp gum", 30), ("Early wattle", 50)]),
        ],
    }
    workbook = Workbook()
    workbook.remove(workbook.active)
    for year, days in years.items():
        sheet = workbook.create_sheet(year)
        sheet["A1"] = f"Dry Gully planting book {year}"
        sheet["A1"].font = Font(bold=True)
        sheet.merge_cells("A1:F1")
        sheet["A2"] = "kept by hand, see also the tally"
        for column, heading in enumerate(["Day planted", "Paddock", "Species", "No. planted", "Nursery", "Remarks"], 1):
            sheet.cell(4, column, heading).font = Font(bold=True)
        row = 5
        for day, paddock, plants in days:
            first = row
            for number, (name, stems) in enumerate(plants):
                if number == 0:
                    sheet.cell(row, 1, day).number_format = "d mmm yyyy"
                    sheet.cell(row, 2, paddock)
                sheet.cell(row, 3, name)
                sheet.cell(row, 4, stems)
                sheet.cell(row, 5, "Ford Lane nursery")
                row += 1
            sheet.merge_cells(start_row=first, start_column=1, end_row=row - 1, end_column=1)
            sheet.merge_cells(start_row=first, start_column=2, end_row=row - 1, end_column=2)
        sheet.cell(row, 1, "Total")
        sheet.cell(row, 4, sum(stems for _, _, plants in days for _, stems in plants))
    workbook.properties.created = workbook.properties.modified = datetime.datetime(2020, 8, 30)
    workbook.save(HERE + "Planting book.xlsx")


# Plot, species, alive, dead, gone: a row a plant, a tick where it belongs. The day stands in the first row of a plot.
TALLY = [
    ("T1", "Blackwood", 9, 2, 1),
    ("T1", "Green wattle", 7, 3, 0),
    ("T2", "Silver wattle", 11, 1, 2),
    ("T2", "Green wattle", 5, 1, 0),
    ("G1", "Swamp gum", 10, 4, 0),
    ("G2", "Silver wattle", 8, 0, 3),
    ("G2", "Early wattle", 6, 2, 0),
]


def tally():
    document = OpenDocumentSpreadsheet()
    table = Table(name="Count")
    document.spreadsheet.addElement(table)

    def line(cells):
        row = TableRow()
        for value in cells:
            if isinstance(value, datetime.date):
                cell = TableCell(valuetype="date", datevalue=value.isoformat())
                cell.addElement(P(text=value.strftime("%d/%m/%y")))
            elif value == "":
                cell = TableCell()
            else:
                cell = TableCell(valuetype="string")
                cell.addElement(P(text=value))
            row.addElement(cell)
        table.addElement(row)

    line(["Count of 22 August"])
    line([])
    line(["Date", "Plot", "Species", "Alive", "Dead", "Gone"])
    for plot, species, *counts in TALLY:
        for column, count in enumerate(counts):
            for _ in range(count):
                ticks = ["", "", ""]
                ticks[column] = "✓"
                line([datetime.date(2020, 8, 22), plot, species, *ticks])
    document.save(HERE + "Count in August.ods")


def bank():
    rows = [
        ("03/02/2020", "FORD LANE NURSERY", "Plants", "-412.50"),
        ("14/02/2020", "INTEREST", "Interest", "1.12"),
        ("21/03/2020", "HILLSIDE FENCING", "Fencing", "-1,980.00"),
        ("30/04/2020", "FORD LANE NURSERY", "Plants", "-236.40"),
        ("03/05/2020", "GRANT FIRST PART", "Grant", "2,500.00"),
        ("11/06/2020", "RIDGE HARDWARE", "Fencing", "-84.95"),
        ("17/08/2020", "RIDGE HARDWARE", "Plants", "-39.60"),
    ]
    with open(HERE + "Transactions.csv", "w", newline="", encoding="utf-8") as file:
        file.write("Transaction date,Details,Category,Amount\r\n")
        for day, details, category, amount in rows:
            file.write(f'{day},{details},{category},"{amount}"\r\n')


def places():
    """The telephone's map: two polygons, paths and a point, as it files them."""

    def ring(west, south, east, north):
        corners = [(west, south), (east, south), (east, north), (west, north), (west, south)]
        return " ".join(f"{x:.7f},{y:.7f},1700" for x, y in corners)

    def polygon(name, *box):
        return (
            f"<Placemark><name>{name}</name><Polygon><outerBoundaryIs><LinearRing><coordinates>{ring(*box)}"
            "</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>"
        )

    def path(name, *points):
        line = " ".join(f"{x:.7f},{y:.7f},1700" for x, y in points)
        return f"<Placemark><name>{name}</name><LineString><coordinates>{line}</coordinates></LineString></Placemark>"

    areas = polygon("Top", -104.3042729, 39.5707179, -104.3039471, 39.5708981) + polygon(
        "Gully", -104.3042900, 39.5704700, -104.3040200, 39.5706500
    )
    paths = path("old track", (-104.3043428, 39.5709701), (-104.3038772, 39.5709882)) + path(
        "Creek", (-104.3043428, 39.5705198), (-104.3041100, 39.5705378), (-104.3038772, 39.5705018)
    )
    fence = path("New fence", (-104.3042962, 39.5706999), (-104.3039238, 39.5706999), (-104.3039238, 39.5709161))
    gate = "<Placemark><name>Gate 2</name><Point><coordinates>-104.3039238,39.5706999,1700</coordinates></Point></Placemark>"
    with open(HERE + "My places.kml", "w", encoding="utf-8") as file:
        file.write(
            '<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>Dry Gully</name>\n'
            f"<Folder><name>Polygons</name>{areas}</Folder>\n<Folder><name>Paths</name>{fence}{paths}</Folder>\n{gate}\n</Document></kml>\n"
        )


def walk():
    points = [(-104.30432 + 0.00004 * n, 39.57025 + 0.00001 * (n % 3)) for n in range(10)]
    track = "".join(
        f'<trkpt lat="{y:.7f}" lon="{x:.7f}"><ele>1700</ele><time>2020-05-03T10:{n:02}:00Z</time></trkpt>'
        for n, (x, y) in enumerate(points)
    )
    with open(HERE + "Morning walk.gpx", "w", encoding="utf-8") as file:
        file.write(
            '<?xml version="1.0"?>\n<gpx version="1.1" creator="a telephone" xmlns="http://www.topografix.com/GPX/1/1">\n'
            f"<trk><name>fence - new, bottom</name><trkseg>{track}</trkseg></trk>\n</gpx>\n"
        )


book()
tally()
bank()
places()
walk()
