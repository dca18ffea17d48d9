"""The figures of the folders beside this file, worked out with openpyxl and csv and without the program: python3 truth.py > truth.json"""

import csv
import json
from collections import defaultdict
from pathlib import Path

import openpyxl

HERE = Path(__file__).parent


def figures(planted, counted):
    """Stems and survival of (area, species, stems) and (area, alive, set): areas are weighted by the stems planted in them."""
    stems, alive, found = defaultdict(int), defaultdict(int), defaultdict(int)
    for area, _, number in planted:
        stems[area] += number
    for area, living, number in counted:
        alive[area] += living
        found[area] += number
    slug = lambda area: area.lower().replace(" ", "-")
    share = {area: alive[area] / found[area] for area in stems}
    out = {"plantings.stems.all": sum(stems.values())}
    out |= {f"plantings.stems.{slug(area)}": number for area, number in stems.items()}
    out |= {f"survival.{slug(area)}": share[area] for area in stems}
    out["survival.all"] = sum(share[area] * stems[area] for area in stems) / sum(stems.values())
    for area in stems:
        kinds = {species for where, species, number in planted if where == area and number}
        out[f"plantings.species-count.{slug(area)}"] = len(kinds)
    return out


def down(rows, columns):
    """Rows whose empty cells in the first columns repeat the row above."""
    above = [None] * columns
    for row in rows:
        above = [cell if cell not in (None, "") else last for cell, last in zip(row, above)]
        yield above + list(row[columns:])


def school():
    book = openpyxl.load_workbook(HERE / "school/Planting days 2025.xlsx")
    planted = []
    for name in ["Sat 12 July", "Sun 27 July"]:
        rows = [row for row in book[name].iter_rows(min_row=4, values_only=True) if row[0] != "Total"]
        planted += [(where, what, number) for _, where, what, number, *_ in down(rows, 2)]
    area = {row["plot"]: row["area"] for row in csv.DictReader((HERE / "school/plots.csv").open())}
    lines = (HERE / "school/Count May.csv").read_text().splitlines()[2:]
    rows = down(list(csv.reader(lines)), 2)
    counted = [(area[plot], int(alive), int(alive) + int(dead)) for _, plot, _, alive, dead in rows]
    return figures(planted, counted)


def form():
    read = lambda name: list(csv.DictReader((HERE / "form" / name).open()))
    area = {row["plot"]: row["area"] for row in read("plots.csv")}
    planted = [(row["area"], row["species"], int(row["stems"])) for row in read("plantings.csv")]
    counted = [
        (area[row["plot_id"]], int(row["n_alive"]), int(row["n_alive"]) + int(row["n_dead"])) for row in read("export.csv")
    ]
    return figures(planted, counted)


def grid():
    rows = list(openpyxl.load_workbook(HERE / "grid/plantings.xlsx").active.iter_rows(values_only=True))
    planted = [(row[0], species, row[at] or 0) for row in rows[1:] for at, species in ((1, rows[0][1]), (2, rows[0][2]))]
    area = {"T1": "Top", "Tl": "Top", "B1": "Bottom"}
    rows = csv.DictReader((HERE / "grid/tallies.csv").open())
    counted = [(area[row["plot"]], int(row["alive"]), int(row["alive"]) + int(row["dead"])) for row in rows]
    return figures(planted, counted)


def trust():
    rows = list(csv.reader((HERE / "trust/Planting.csv").open()))[1:]
    rows = [row for row in rows if "otal" not in row[0] + row[2]]
    planted = [(where, what, int(number)) for _, where, what, number in down(rows, 2)]
    area = {row["plot"]: row["area"] for row in csv.DictReader((HERE / "trust/plots.csv").open())}
    rows = csv.DictReader((HERE / "trust/Survival May.csv").open())
    out = figures(planted, [(area[row["Plot"]], int(row["Alive"]), int(row["Planted"])) for row in rows])
    # What the grant paid in is left out, as is chosen; what the nursery gave back too.
    money = list(csv.DictReader((HERE / "trust/Account.csv").open()))
    out["spend.total"] = sum(float(row["Debit"] or 0) for row in money)
    out["spend.line.plants"] = sum(float(row["Debit"] or 0) for row in money if row["Code"] == "Plants")
    # Of what is left open, what is chosen: the lines whose # is taken away.
    out["choose"] = ['Toetoe = "Austroderia toetoe"', 'money_in = "left out"']
    return out


def club():
    rows = [row for row in csv.DictReader((HERE / "club/book.csv").open()) if row["Day"] != "All"]
    planted = [(row["Block"], row["What"], int(row["How many"])) for row in rows]
    area = {line.split(";")[0]: line.split(";")[1] for line in (HERE / "club/quadrats.csv").read_text().splitlines()[1:]}
    rows = [row for row in csv.DictReader((HERE / "club/count in may.csv").open()) if row["Plot"]]
    out = figures(planted, [(area[row["Plot"]], int(row["Alive"]), int(row["Planted"])) for row in rows])
    # The nursery's refund is taken off; the balance at the beginning is no payment.
    money = [row for row in csv.DictReader((HERE / "club/kasse.csv").open()) if row["Sum"]]
    out["spend.total"] = sum(float(row["Sum"]) * (-1 if row["Way"] == "CR" else 1) for row in money)
    out["choose"] = ['Manna gum = "Eucalyptus viminalis"', 'Sweet bursaria = "Bursaria spinosa"']
    return out


figures_of = {"school": school(), "form": form(), "grid": grid(), "trust": trust(), "club": club()}
print(json.dumps(figures_of, indent=1, sort_keys=True))
