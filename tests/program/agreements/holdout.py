"""What each agreement of the two hold-out folders is owed, worked out apart from the program: written from the rules in words (a row goes
to those it names; else by the first sharing rule that fits, which counts what was done in the reporting period of the row, cut where an
agreement's own period ends, within each one's term and among those in force on the day; else to the only agreement in whose ground and term it lies, of payments whose
budget has the line; else it is the landholder's own) and from nothing of the program. Cents by the largest remainder, tax and what is
without it apart; of stems, metres and hectares one owner, the one with the largest share. Hectares by the `geographiclib` package.

    python3 tests/program/agreements/holdout.py        # writes holdout.json beside it
"""
import csv
import json
import tomllib
from collections import defaultdict
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from geographiclib.geodesic import Geodesic

HERE = Path(__file__).parent


def cents(words):
    return int((Decimal(words or "0") * 100).to_integral_exact())


def split(total, weights):
    """`total` cents by `weights` (of one whole each): floors, then a cent each to the largest remainders, the first named first. What
    the weights leave over is unclaimed, and a party like the others."""
    exact = {who: total * weight for who, weight in {**weights, "unclaimed": 1 - sum(weights.values())}.items()}
    floors = {who: int(part // 1) for who, part in exact.items()}
    over = {who: exact[who] - floors[who] for who in exact}
    for who in sorted(over, key=lambda who: -over[who])[: total - sum(floors.values())]:
        floors[who] += 1
    return floors


def hectares(ring):
    polygon = Geodesic.WGS84.Polygon()
    for longitude, latitude in ring[:-1]:
        polygon.AddPoint(latitude, longitude)
    return abs(polygon.Compute()[2]) / 10_000


class Place:
    def __init__(self, folder):
        self.toml = tomllib.loads((folder / "project.toml").read_text())
        table = lambda name: list(csv.DictReader((folder / name).open()))
        self.plantings, self.works, self.spending = table("plantings.csv"), table("works.csv"), table("spending.csv")
        drawn = json.loads((folder / "areas.geojson").read_text())["features"]
        self.hectares = {one["properties"]["area"]: hectares(one["geometry"]["coordinates"][0]) for one in drawn}
        self.agreements = {one["id"]: one for one in self.toml["agreement"]}
        self.rules = self.toml.get("sharing", [])

    def period(self, one):
        period = one.get("period", self.toml["period"])
        return period["from"], period["to"]

    # -- whose a row is

    def named(self, words):
        if not words:
            return None
        parts = [part.strip().rsplit(" ", 1) for part in words.split(";")]
        if len(parts) == 1 and len(parts[0]) == 1:
            return {parts[0][0]: Fraction(1)}
        return {who: Fraction(Decimal(share)) / 100 for who, share in parts}

    def on(self, row, who):
        """The day of a row by which an agreement judges: of payments, as it says."""
        column = {"paid": "date", "invoice": "invoiced", "delivered": "delivered"}
        rule = self.agreements[who].get("dates", "paid") if "invoiced" in row else "paid"
        return date.fromisoformat(row[column[rule]] or row["date"])

    def in_term(self, row, who):
        one = self.agreements[who]
        return one["from"] <= self.on(row, who) <= one["to"]

    def shared(self, row):
        named = self.named(row["agreement"])
        if named:
            return named
        for rule in self.rules:
            if row.get("line") in rule.get("lines", []) or row.get("task") in rule.get("tasks", []):
                return self.measured(rule, row)
        if "line" in row:
            fits = [
                who for who, one in self.agreements.items()
                if self.in_term(row, who) and any(budget["line"] == row["line"] for budget in one.get("budget", []))
            ]
        else:
            fits = [who for who, one in self.agreements.items() if row["area"] in one["areas"] and self.in_term(row, who)]
        return {fits[0] if len(fits) == 1 else "own": Fraction(1)}

    def owner(self, row):
        shares = self.shared(row)
        most = max(shares.values())
        return next(who for who, share in shares.items() if share == most)

    def year_of(self, begin, on):
        """The year that begins on the month and day of `begin` and holds `on`."""
        first = date(on.year, begin.month, begin.day)
        if first > on:
            first = date(on.year - 1, begin.month, begin.day)
        return first, date(first.year + 1, begin.month, begin.day)

    def allows(self, who, on):
        one = self.agreements.get(who)
        return one is None or max(one["from"], one.get("approved", one["from"])) <= on <= one["to"]

    def measured(self, rule, row):
        if rule["by"] == "fixed":
            return {who: Fraction(str(share)) / 100 for who, share in rule["shares"].items()}
        plain = date.fromisoformat(row["date"])
        days = {who: self.on(row, who) if who in self.agreements else plain for who in rule["between"]}
        days = {who: on for who, on in days.items() if self.allows(who, on)}
        first_day = min(days.values())
        begins, ends = [], []
        for period in [self.toml["period"]] + [
            self.agreements[who]["period"] for who in rule["between"] if "period" in self.agreements.get(who, {})
        ]:
            begin, end = self.year_of(period["from"], first_day)
            begins.append(begin)
            ends.append(end)
        begin, end = max(begins), min(ends)
        amounts = {who: Fraction(0) for who in days}

        def add(who, one, amount):
            on = date.fromisoformat(one["date"])
            if who in amounts and begin <= on < end and self.allows(who, on):
                amounts[who] += amount

        if rule["by"] == "area":
            for who in amounts:
                amounts[who] = Fraction(sum(self.hectares[area] for area in self.agreements[who]["areas"]))
        elif rule["by"] == "stems":
            for one in self.plantings:
                add(self.owner(one), one, int(one["stems"]))
        elif rule["by"] == "metres":
            for one in self.works:
                if one["task"] in rule["count"]:
                    add(self.owner(one), one, Fraction(Decimal(one["quantity"])))
        elif rule["by"] == "hectares x visits":
            for one in self.works:
                if one["task"] in rule["count"]:
                    add(self.owner(one), one, Fraction(self.hectares[one["area"]]))
        else:
            raise ValueError(rule["by"])
        whole = sum(amounts.values())
        return {who: amount / whole for who, amount in amounts.items()}

    # -- sums

    def figures(self):
        told = {}
        ends = self.toml["period"]
        money = defaultdict(lambda: defaultdict(int))
        for row in self.spending:
            whole, tax = cents(row["amount"]), cents(row["tax"])
            shares = self.shared(row)
            net, taxes = split(whole - tax, shares), split(tax, shares)
            for who in shares:
                if who == "own":
                    # By the place's own rule of tax, which without [money] is tax excluded.
                    if date.fromisoformat(row["date"]) <= ends["to"]:
                        money["own"]["in kind" if row["in_kind"] else "cash"] += net[who]
                    continue
                one, on = self.agreements[who], self.on(row, who)
                start, end = self.period(one)
                counted = net[who] + (taxes[who] if one["tax"] == "included" else 0)
                allowed = one["from"] <= on <= one["to"] and on >= one.get("approved", one["from"])
                if not allowed:
                    money[who]["outside the term"] += counted
                elif on > end:
                    money[who]["after the period"] += counted
                elif row["in_kind"]:
                    money[who]["in kind"] += counted
                else:
                    money[who]["to date"] += counted
                    money[who][f"to date, {row['line']}"] += counted
                    if on >= start:
                        money[who]["this year"] += counted
                        money[who][f"this year, {row['line']}"] += counted
        for who, one in self.agreements.items():
            start, end = self.period(one)
            inside = lambda on: on <= end
            day = lambda row: date.fromisoformat(row["date"])
            stems = defaultdict(int)
            ground = set()
            for row in self.plantings:
                if self.owner(row) == who and day(row) <= end:
                    stems["to date"] += int(row["stems"])
                    stems["this year"] += int(row["stems"]) if day(row) >= start else 0
                    ground.add(row["area"])
            hours = defaultdict(Fraction)
            for row in self.works:
                share = self.shared(row).get(who, 0)
                worked = Fraction(row["hours"]) * int(row["people"]) * share
                if day(row) <= end:
                    hours["to date"] += worked
                    hours["this year"] += worked if day(row) >= start else 0
                    if day(row) >= start:
                        hours[f"this year, {row['basis']}"] += worked
            budget = one.get("budget", [])
            year = start.year
            told[who] = {
                "received": sum(cents(str(i["amount"])) for i in one.get("instalment", []) if i.get("received") and inside(i["on"])),
                "interest": sum(cents(str(i["amount"])) for i in one.get("interest", []) if inside(i["on"])),
                "budget, whole life": sum(cents(str(b["cash"])) for b in budget),
                "budget, this year": sum(cents(str(b["cash"])) for b in budget if b.get("year") == year),
                "budget, to date": sum(cents(str(b["cash"])) for b in budget if b.get("year") is None or b["year"] <= year),
                "cents": dict(sorted(money[who].items())),
                "stems": dict(stems),
                "hectares planted": round(sum(self.hectares[area] for area in ground if area in one["areas"]), 6),
                "hours": {key: round(float(value), 6) for key, value in sorted(hours.items())},
            }
        told["own"] = {"cents": dict(money["own"])}
        return told


if __name__ == "__main__":
    told = {name: Place(HERE / name).figures() for name in ("holdout-two", "holdout-five")}
    (HERE / "holdout.json").write_text(json.dumps(told, indent=1) + "\n")
