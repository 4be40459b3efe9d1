"""How long risks and coverage factors take, beside the page build that they are part of.

    python tests/benchmark/risk_time.py [--points 10000] [--procedures 40] [--repeat N]

It takes the budgets of this repository's own demo, changes their numbers a little so that no two of
them are alike (the demo's are, and are kept), and measures on one core, in CPU seconds, for that
many points:

risks  the specific risk at the acceptance limit and the global risks, before rounding and as they
are shown, under each of three decision rules in turn; k      the whole budget, with the coverage
factor from the convolution.

Then it builds a shop of that many procedures, as build_time.py makes it, and gives both as a ratio
to the page build of as many points. The best of the repeats counts. """

from __future__ import annotations

import argparse
import json
import math
import random
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from builder.compute.statistics import budget, decision, risk  # noqa: E402
from builder.shop import loading  # noqa: E402
from tests.benchmark.build_time import build, make_ours  # noqa: E402

TARGET = 2.0    # seconds for the risks of 10 000 points on one core
RULES = (decision.Rule(decision.SIMPLE), decision.Rule(decision.MULTIPLE, 1),
         decision.Rule(decision.MULTIPLIER))


def demo_points() -> list[tuple[tuple[budget.Component, ...], float]]:
    """Budget and tolerance of every point of the demo."""
    shop = loading.load_shop(ROOT / "procedures")
    if shop.errors:
        sys.exit("\n".join(map(str, shop.errors)))
    return [(p.sure.components, float(p.planned.judged.tolerance))
            for one in shop.procedures.values() for p in one.points if p.sure]


def varied(many: int) -> list[tuple[tuple[budget.Component, ...], float]]:
    """So many points like the demo's, each with numbers of its own."""
    chance, demo, points = random.Random(1), demo_points(), []
    for n in range(many):
        components, tolerance = demo[n % len(demo)]
        points.append(
            (tuple(replace(c, value=c.value * chance.uniform(0.6, 1.6)) for c in components),
             tolerance * chance.uniform(0.6, 1.6)))
    return points


def seconds_for_k(points) -> tuple[float, list[budget.Uncertainty]]:
    start = time.process_time()
    found = [budget.combine(components=components) for components, _ in points]
    return time.process_time() - start, found


def seconds_for_risks(points, sure, shift: int) -> float:
    """`shift` hands out the rules in another turn."""
    start = time.process_time()
    for n, ((components, tolerance), one) in enumerate(zip(points, sure, strict=True)):
        w = min(decision.guard_band(rule=RULES[(n + shift) % len(RULES)], tolerance=tolerance,
                                    expanded=one.expanded), tolerance)
        risk.specific_at_limit(components=components, guard=w, tolerance=tolerance)
        half = components[-1].value
        within, inside = (2 * half * math.floor(t / half / 2) + half
                          for t in (tolerance, tolerance - w))
        u0 = risk.prior_of_share(share=0.95, tolerance=tolerance)
        for limit in (tolerance, within):
            risk.global_risks(tolerance=(-limit, limit), acceptance=(-inside, inside), u0=u0,
                              u=math.sqrt(max(0.0, one.u ** 2 - half ** 2 / 3)))
    return time.process_time() - start


def page_build(procedures: int, repeat: int) -> tuple[float, int]:
    """CPU seconds of the build of a shop, and its points that have an uncertainty."""
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder)
        make_ours(project, procedures)
        seconds = min(build(project).seconds for _ in range(repeat))
        points = sum(
            sum(p["uncertainty"] is not None
                for p in json.loads(path.read_text(encoding="utf-8"))["points"])
            for path in (project / "site/data/procedures").glob("*.json"))
    return seconds, points


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--points", type=int, default=10_000)
    parser.add_argument("--procedures", type=int, default=40,
                        help="of the page build; 0 leaves it out")
    parser.add_argument("--repeat", type=int, default=3)
    options = parser.parse_args()
    factors, risks, sure = [], [], []
    for n in range(options.repeat):
        points = varied(options.points)
        budget._factor.cache_clear()
        spent, sure = seconds_for_k(points)
        factors.append(spent)
        risks.append(seconds_for_risks(points, sure, n))
    k, r = min(factors), min(risks)
    print(f"{options.points} points, CPU seconds on one core, best of {options.repeat}")
    target = TARGET * options.points / 10_000
    print(
        f"  risks  {r:7.2f} s  {1e6 * r / options.points:6.0f} us a point   target {target:.1f} s: "
        f"{'met' if r <= target else 'MISSED'}")
    print(f"  k      {k:7.2f} s  {1e6 * k / options.points:6.0f} us a point")
    if options.procedures:
        whole, built = page_build(options.procedures, min(2, options.repeat))
        print(
            f"page build of {options.procedures} procedures, {built} points: {whole:.2f} s, "
            f"{1e6 * whole / built:.0f} us a point")
        print(f"  risks / page build  {r / options.points * built / whole:.3f}")
        print(f"  k / page build      {k / options.points * built / whole:.3f}")


if __name__ == "__main__":
    main()
