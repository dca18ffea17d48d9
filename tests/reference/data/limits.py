"""Limits of survival, cover and density worked out apart from the program, with nothing but Python's standard library.

Prints limits.csv. The incomplete beta function is summed as its continued fraction (Press et al., Numerical Recipes, section 6.4), the
incomplete gamma function as its series; quantiles are found by halving. The examples are those of the tests: planting-plots-example.csv,
five step-point transects, three lines, classes of Daubenmire (1959), eight plots of 100 m².
"""
import csv
import math
import os


def beta_share(a, b, x):
    if x <= 0.0 or x >= 1.0:
        return max(0.0, min(1.0, x))
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - beta_share(b, a, 1.0 - x)
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / d
    h = d
    for m in range(1, 5000):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        d = 1.0 / (1.0 + even * d)
        c = 1.0 + even / c
        h *= d * c
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        d = 1.0 / (1.0 + odd * d)
        c = 1.0 + odd / c
        h *= d * c
        if abs(d * c - 1.0) < 1e-16:
            break
    return front * h / a


def gamma_share(a, x):
    term = total = 1.0 / a
    n = a
    while term > total * 1e-18:
        n += 1.0
        term *= x / n
        total += term
    return total * math.exp(-x + a * math.log(x) - math.lgamma(a))


def halve(low, high, share, probability):
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if share(middle) < probability else (low, middle)
    return low


def beta(probability, a, b):
    return halve(0.0, 1.0, lambda x: beta_share(a, b, x), probability)


def gamma(probability, a):
    return halve(1e-300, 50.0 + 10.0 * a, lambda x: gamma_share(a, x), probability)


def student(probability, df):
    # P(|T| > t) = I(df/(df + t²); df/2, 1/2)
    x = halve(0.0, 1.0, lambda x: beta_share(df / 2, 0.5, x), 2.0 * (1.0 - probability))
    return math.sqrt(df * (1.0 - x) / x)


def normal(probability):
    return halve(-10.0, 10.0, lambda z: 0.5 * math.erfc(-z / math.sqrt(2.0)), probability)


def exact(share, trials, tail):
    x = share * trials
    low = 0.0 if x <= 0.0 else beta(tail, x, trials - x + 1.0)
    high = 1.0 if x >= trials else beta(1.0 - tail, x + 1.0, trials - x)
    return low, high


def jackknife(pairs):
    """Share or density, and its variance when each plot is left out in turn, by doing just that."""
    parts, wholes = sum(p for p, _ in pairs), sum(w for _, w in pairs)
    value = parts / wholes
    left = [(parts - p) / (wholes - w) for p, w in pairs]
    n = len(pairs)
    return value, (n - 1) / n * sum((one - value) ** 2 for one in left)


def satterthwaite(parts):
    return sum(g for g, _ in parts) ** 2 / sum(g * g / df for g, df in parts)


def linear(pairs):
    parts, wholes = sum(p for p, _ in pairs), sum(w for _, w in pairs)
    value, n = parts / wholes, len(pairs)
    return n / (n - 1) * sum((p - value * w) ** 2 for p, w in pairs) / wholes ** 2


def stems(strata, tail, correlation=0.05):
    """strata: weight, part sampled, pairs."""
    total = sum(weight for weight, _, _ in strata)
    share = between = each = 0.0
    df = []
    for weight, sampled, pairs in strata:
        value, variance = jackknife(pairs)
        w = (weight / total) ** 2 * (1.0 - sampled)
        share += weight / total * value
        between += w * variance
        each += w / sum(m for _, m in pairs)
        df.append((w * linear(pairs), len(pairs) - 1))
    df = satterthwaite(df)
    trials = 1.0 / each
    plots = [m for _, _, pairs in strata for _, m in pairs]
    cluster = sum(m * m for m in plots) / sum(plots)
    df = min(df, max(trials / cluster - 1.0, 1.0))
    near = (share * trials + 1.0) / (trials + 2.0)
    single = near * (1.0 - near) / trials
    joint = (single * (1.0 + (cluster - 1.0) * correlation) + df * max(between, single)) / (1.0 + df)
    fewer = student(1.0 - tail, trials - 1.0) / student(1.0 - tail, df + 1.0)
    effective = min(near * (1.0 - near) / joint * fewer ** 2, trials)
    return share, exact(share, effective, tail), min(max(trials / cluster, 1.0), len(plots))


def survival(strata, tail):
    share, (low, high), plots = stems(strata, tail)
    total = sum(weight for weight, _, _ in strata)
    sampled = sum(weight / total * part for weight, part, _ in strata)
    unseen = min(0.125, 1.0 - 0.35 ** (1.0 / plots)) * (1.0 - sampled)
    return min(low, share * (1.0 - unseen)), high


def cover(pairs, tail):
    share, between = jackknife(pairs)
    n = len(pairs)
    df = n - 1
    most = share * (1.0 - share)
    joint = (most * 0.1 / n + df * between) / (1.0 + df)
    effective = most / joint * (normal(1.0 - tail) / student(1.0 - tail, df + 1.0)) ** 2
    return exact(share, min(effective, 12.0 * n), tail)


def density(pairs, tail, clumps, unseen):
    value, between = jackknife(pairs)
    n = len(pairs)
    counted = sum(p for p, _ in pairs)
    joint = max((1.0 / counted + clumps / n + (n - 1) * between / value ** 2) / n, 1.0 / counted)
    effective = (normal(1.0 - tail) / student(1.0 - tail, float(n))) ** 2 / joint
    return value / effective * gamma(tail, effective), value / effective * gamma(1.0 - tail, effective + unseen)


def main():
    here = os.path.dirname(os.path.abspath(__file__))
    with open(os.path.join(here, "planting-plots-example.csv"), encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    pairs = {s: [(float(r["alive"]), float(r["planted"])) for r in rows if r["stratum"] == s] for s in ("lower", "upper")}
    strata = [(2000.0, 300.0 / 2000.0, pairs["lower"]), (1000.0, 160.0 / 1000.0, pairs["upper"])]
    again = [44, 38, 48, 41, 37, 48, 24, 33, 18, 30]
    lost = [(float(r["alive"]) - now, float(r["planted"])) for r, now in zip(rows, again)]
    _, (least, most), _ = stems([(1.0, 0.0, lost)], 0.025, 0.3)
    edges = {"low": [25, 25, 25, 50], "high": [50, 50, 50, 75]}
    print("case,low,high")
    for case, (low, high) in [
        ("survival of the planting example", survival(strata, 0.025)),
        ("change of the planting example", (-most, -least)),
        ("cover of five transects", cover([(h, 100.0) for h in (62, 71, 55, 80, 67)], 0.025)),
        ("cover along lines", cover([(9.4, 20.0), (12.1, 20.0), (10.6, 25.0), (8.8, 15.0)], 0.025)),
        (
            "cover in classes",
            (
                cover([(e / 100.0, 1.0) for e in edges["low"]], 0.025)[0],
                cover([(e / 100.0, 1.0) for e in edges["high"]], 0.025)[1],
            ),
        ),
        ("density of eight plots", density([(x, 0.01) for x in (34, 28, 41, 22, 37, 30, 25, 39)], 0.025, 0.17, 1.8)),
        ("recruits of eight plots", density([(x, 0.01) for x in (0, 3, 0, 0, 11, 1, 0, 2)], 0.025, 3.0, 2.5)),
    ]:
        print(f"{case},{low:.9f},{high:.9f}")


main()
