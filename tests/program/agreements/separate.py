#!/usr/bin/env python3
"""The sample lantern-rise worked out a second time, by other means: plain Python, csv, tomllib, decimal, and geographiclib for hectares.

    python3 separate.py ../../../sample-projects/lantern-rise > separate.json

Nothing here was taken from the program. Rules, as the README states them: a row that names payers is theirs; else the first rule that fits
shares it, by what was done in the reporting period in which the row falls (or up to its end, where the rule says `to date`), within each
agreement's term, among those in force on its day; else it is of the only agreement in whose ground and term it lies (of payments: whose budget has the line); else the
landholder's own. Cents, and hundredths of an hour of each person, by the largest remainder, tax and what is without it apart. Stems and hectares have one owner.
"""
import csv, json, sys, tomllib
from datetime import date
from decimal import Decimal as D
from pathlib import Path
from geographiclib.geodesic import Geodesic

home = Path(sys.argv[1])
settings = tomllib.loads((home / "project.toml").read_text(), parse_float=D)
agreements = settings["agreement"]
ids = [a["id"] for a in agreements]
by_id = {a["id"]: a for a in agreements}
until = settings["period"]["to"]

def rows(name):
    return list(csv.DictReader((home / f"{name}.csv").open(encoding="utf-8")))

def hectares():
    found = {}
    for feature in json.loads((home / "areas.geojson").read_text())["features"]:
        ring = Geodesic.WGS84.Polygon()
        for lon, lat in feature["geometry"]["coordinates"][0][:-1]:
            ring.AddPoint(lat, lon)
        found[feature["properties"]["area"]] = abs(ring.Compute(False, True)[2]) / 10_000
    return found

HA = hectares()

def owner_of_ground(area):
    return next((a["id"] for a in agreements if area in a.get("areas", [])), "own")

def admits(a, day):
    return max(a["from"], a.get("approved", a["from"])) <= day <= a["to"]

def claims(text):
    out = []
    for part in filter(None, (p.strip() for p in text.split(";"))):
        name, _, share = part.rpartition(" ")
        out.append((name, D(share)) if name else (share, D(100)))
    return out

def counted_day(a, row):
    if a.get("dates") == "invoice" and row.get("invoiced"):
        return date.fromisoformat(row["invoiced"])
    return date.fromisoformat(row["date"])

def remainder(total, weights):
    whole, sign = abs(total), -1 if total < 0 else 1
    exact = [whole * w / sum(weights) for w in weights]
    cents = [int(e * 100) for e in exact]
    left = int(whole * 100) - sum(cents)
    for at in sorted(range(len(weights)), key=lambda i: (-(exact[i] * 100 - cents[i]), i))[:left]:
        cents[at] += 1
    return [sign * D(c) / 100 for c in cents]

def fits(rule, key, other, name):
    return name in rule.get(key, []) or (not rule.get(key) and not rule.get(other))

plantings, works, spending = rows("plantings"), rows("works"), rows("spending")

def only(candidates):
    return [(candidates[0], D(1))] if len(candidates) == 1 else [("own", D(1))]

def of_planting(row):
    return claims(row["agreement"]) or only(
        [a["id"] for a in agreements if admits(a, date.fromisoformat(row["date"])) and row["area"] in a["areas"]])

def largest(shares):
    best = shares[0]
    for one in shares:
        if one[1] > best[1]:
            best = one
    return best[0]

stem_owner = [largest(of_planting(row)) for row in plantings]

def period_of(day):
    """The reporting period of twelve months that holds a day, and the one of each agreement that has its own: here none has."""
    assert not any("period" in a for a in agreements)
    begin = settings["period"]["from"]
    first = begin.replace(year=day.year)
    if first > day:
        first = first.replace(year=day.year - 1)
    return first, date.fromordinal(first.replace(year=first.year + 1).toordinal() - 1)

def weights(rule, days, costs=None):
    """Payers and weights of a row that counts on these days by payer; a payer that is not among them is not in force."""
    if "shares" in rule:
        return sorted(rule["shares"].items(), key=lambda one: ids.index(one[0]) if one[0] in ids else 99)
    names = [n for n in rule["between"] if n in days]
    if not names:
        return None
    since, until_then = period_of(min(days.values()))
    if rule.get("over") == "to date":
        since = date.min

    def counts(name, row):
        day = date.fromisoformat(row["date"])
        return since <= day <= until_then and (name not in by_id or admits(by_id[name], day))

    tasks = rule.get("count") or rule.get("tasks", [])
    if rule["by"] == "area":
        found = [D(sum(h for a, h in HA.items() if owner_of_ground(a) == n)) for n in names]
    elif rule["by"] == "stems":
        found = [D(sum(int(r["stems"]) for r, o in zip(plantings, stem_owner) if o == n and counts(n, r))) for n in names]
    elif rule["by"] == "metres":
        found = [sum((D(r["quantity"]) for r, s in zip(works, first_works) if r["task"] in tasks and r["unit"] == "m"
                      and r["quantity"] and largest(s) == n and counts(n, r)), D(0)) for n in names]
    elif rule["by"] == "hectares x visits":
        found = [D(sum(HA[r["area"]] for r in works if r["task"] in tasks and r["area"] and owner_of_ground(r["area"]) == n
                       and counts(n, r))) for n in names]
    elif costs is None:
        return None
    else:
        found = [sum((net for n, day, net in costs if n == name and since <= day <= until_then), D(0)) for name in names]
    return list(zip(names, found)) if sum(found) > 0 else None

def in_force(rule, row):
    """The day on which a row counts for each payer of a rule who is in force then."""
    days = {}
    for name in rule.get("between", []):
        day = counted_day(by_id.get(name, {}), row)
        if name not in by_id or admits(by_id[name], day):
            days[name] = day
    return days

def of_work(row, with_rules):
    named = claims(row["agreement"])
    if named:
        return named
    if with_rules:
        for rule in settings["sharing"]:
            if fits(rule, "tasks", "lines", row["task"]):
                found = weights(rule, in_force(rule, row))
                if found:
                    return found
                break
    day = date.fromisoformat(row["date"])
    return only([a["id"] for a in agreements if admits(a, day) and (not row["area"] or row["area"] in a["areas"])])

first_works = [of_work(row, False) for row in works]
work_shares = [of_work(row, True) for row in works]

def of_payment(row, costs):
    named = claims(row["agreement"])
    if named:
        return named
    for rule in settings["sharing"]:
        if fits(rule, "lines", "tasks", row["line"]):
            found = weights(rule, in_force(rule, row), costs)
            if found:
                return found
            break
    day = date.fromisoformat(row["date"])
    return only([a["id"] for a in agreements if admits(a, day) and admits(a, counted_day(a, row))
                 and any(b["line"] == row["line"] for b in a.get("budget", []))])

direct = []
waits = {line for rule in settings["sharing"] if rule["by"] == "share of direct cost" for line in rule["lines"]}
for row in spending:
    if row["in_kind"] == "yes" or row["line"] in waits and not row["agreement"]:
        continue
    shares, net = of_payment(row, None), D(row["amount"]) - D(row["tax"] or 0)
    for name, share in shares:
        day = counted_day(by_id.get(name, {}), row)
        if name not in by_id or admits(by_id[name], day):
            direct.append((name, day, net * share / sum(s for _, s in shares)))

payers = ids + ["own"]
parts = []  # payer, line, day that counts, sum that counts, in kind
for row in spending:
    shares = of_payment(row, direct)
    tax = D(row["tax"] or 0)
    nets = remainder(D(row["amount"]) - tax, [s for _, s in shares])
    taxes = remainder(tax, [s for _, s in shares])
    for (name, _), net, part in zip(shares, nets, taxes):
        a = by_id.get(name)
        day = counted_day(a, row) if a else date.fromisoformat(row["date"])
        if a and not admits(a, day):
            continue
        sum_of = net + part if a and a.get("tax") == "included" else net
        parts.append((name, row["line"], day, sum_of, row["in_kind"] == "yes", net, part))

def year(day):
    return day.year if (day.month, day.day) >= (7, 1) else day.year - 1

out = {}
for name in payers:
    a = by_id.get(name)
    came = [(i["on"], i["amount"]) for i in a.get("instalment", []) if i.get("received")] if a else [(o["on"], o["amount"]) for o in settings["own"]]
    interest = [(i["on"], i["amount"]) for i in a.get("interest", [])] if a else []
    cash = [p for p in parts if p[0] == name and not p[4] and p[2] <= until]
    of = {
        "received": sum((s for d, s in came if d <= until), D(0)),
        "interest": sum((s for d, s in interest if d <= until), D(0)),
        "spent": sum((p[3] for p in cash), D(0)),
        "in-kind": sum((p[3] for p in parts if p[0] == name and p[4] and p[2] <= until), D(0)),
        "stems": sum(int(r["stems"]) for r, o in zip(plantings, stem_owner) if o == name),
        "hectares": sum(h for area, h in HA.items() if owner_of_ground(area) == name),
        "lines": {},
        "hours": {},
        "years": {},
    }
    of["unspent"] = of["received"] + of["interest"] - of["spent"]
    for p in cash:
        of["lines"][p[1]] = of["lines"].get(p[1], D(0)) + p[3]
    for basis in ["paid", "volunteer", "in kind"]:
        total = 0.0
        for row, shares in zip(works, work_shares):
            if row["basis"] == basis and date.fromisoformat(row["date"]) <= until:
                hours = remainder(D(row["hours"]), [s for _, s in shares])
                total += float(sum((p for p, (n, _) in zip(hours, shares) if n == name), D(0))) * int(row["people"])
        of["hours"][basis] = total
    if a:
        carried = D(0)
        for y in range(year(a["from"]), year(min(until, a["to"])) + 1):
            inn = carried
            recv = sum((s for d, s in came if year(d) == y and d <= until), D(0))
            earn = sum((s for d, s in interest if year(d) == y and d <= until), D(0))
            gone = sum((p[3] for p in cash if year(p[2]) == y), D(0))
            carried = inn + recv + earn - gone
            of["years"][str(y)] = {"carried-in": inn, "received": recv, "interest": earn, "spent": gone, "carried-out": carried}
    out[name] = of
# The budget as approved, beside what it is held against: that of the year where all of it is by year, else all spent to date.
for a in agreements:
    budget = [dict(b) for b in a["budget"]]
    for v in a.get("variation", []):
        if v.get("approved") and v["approved"] <= until:
            next(b for b in budget if b["line"] == v["line"] and b.get("year") == v.get("year"))["cash"] = v["after"]
    by_year = all("year" in b for b in budget)
    this = [b for b in budget if not by_year or b["year"] == year(until)]
    cash = [p for p in parts if p[0] == a["id"] and not p[4] and p[2] <= until and (not by_year or year(p[2]) == year(until))]
    held = {}
    for line in dict.fromkeys([b["line"] for b in this] + [p[1] for p in cash]):
        approved = sum((b["cash"] for b in this if b["line"] == line), D(0))
        spent = sum((p[3] for p in cash if p[1] == line), D(0))
        held[line] = {"approved": approved, "spent": spent, "variance": spent - approved}
    whole = {key: sum((one[key] for one in held.values()), D(0)) for key in ("approved", "spent", "variance")}
    out[a["id"]]["held"] = {"span": "this year" if by_year else "to date", "lines": held, "whole": whole}

# All payers' cash, once without tax and once with it.
cash = [p for p in parts if not p[4] and p[2] <= until]
out["all"] = {
    "without-tax": sum((p[5] for p in cash), D(0)),
    "with-tax": sum((p[5] + p[6] for p in cash), D(0)),
}
json.dump(out, sys.stdout, indent=1, default=lambda value: float(value), sort_keys=True)
print()
