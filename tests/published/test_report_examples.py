"""Reports against published examples; each names its source and how sure its numbers are."""

from __future__ import annotations

import json
from fractions import Fraction as F

import pytest

from builder.compute.statistics.repeated import with_readings
from builder.formats.sheet_data import PointData
from builder.numbers.statistics_text import figures
from builder.pages import report_pages
from builder.records import paper_form
from builder.records.judged_record import JudgedReading
from builder.records.readings import Try
from builder.records.report_lines import line_of
from builder.records.verdict import verdict
from builder.shop import loading
from tests import small_shop as shops

POINT = {"id": "p", "group": "1", "step": "1.1", "kind": "source", "function": "DC voltage",
         "range": "1000 V", "resolution": "0.01 V", "unit": "V", "decimals": 2, "apply": "100.00 V",
         "slope": "0", "offset": "50 V",
         "accept": {"low": "50.00 V", "high": "150.00 V", "low_counts": 5000, "high_counts": 15000},
         "tolerance_limits": {"low": "50.00 V", "high": "150.00 V", "low_counts": 5000,
                              "high_counts": 15000}}


def line(uncertainty: dict, readings: list[str]):
    point = PointData.model_validate(POINT | {"uncertainty": uncertainty})
    found = verdict(point, readings)
    return found, line_of(JudgedReading(point, ((Try(readings=tuple(readings)), found),), ""))


def test_ea_4_02_s9_as_a_report(tmp_path):
    """EA-4/02 M, S9: 100.1 V read at 100.0 V ± 0.002 V (k = 2), 0.1 V resolution, specification ±
    0.011 V. E = 0.1 V, u = 0.030 V and U = 0.05 V (u and U second hand, E and the half-widths from
    memory). Its k = 1.65 is that of a pure rectangle; the convolution of its own budget gives 1.71
    at 95 % (computed), so the check is on u, and on U at one figure."""
    meter = shops.meter(shops.function("DC voltage",
                                       shops.range_("600 V", "100 mV", "0.3 % + 2 counts")))
    standard = shops.standard(
        {"DC voltage": {"values": "0 V to 1100 V", "within": "2 mV", "drift": "11 mV"}})
    plan = shops.plan({"function": "DC voltage", "apply": ["100 V"]}, coverage="95 %")
    shop = shops.load(tmp_path, meter, plan, standard)
    data = shop.procedures["lapwing-yearly"].data
    root = tmp_path / "procedures"
    paper_form.write(data, root / "records")
    point = next(p for p in data["points"] if p["apply"] == "100.0 V")
    step = f"{point['step']} {point['apply']}"
    record = {"procedure": "lapwing-yearly", "revision": data["revision"],
              "judged_by": paper_form.data_name(data), "serial": "1", "date": "2026-03-12",
              "state": "as found", "steps": {step: "100.1"}}
    (root / "records/s9.yaml").write_text(json.dumps(record), encoding="utf-8")
    (report,) = report_pages.reports_of(loading.load_shop(root))
    (found,) = [line for f in report.functions for line in f.lines if line.step == point["step"]]
    assert float(found.error) == 0.1 and found.reading.startswith("100.1")
    assert figures(float(point["uncertainty"]["u"].split()[0]), 2) == "0.030"
    assert figures(float(found.expanded), 1) == "0.05"
    assert float(found.k) == pytest.approx(1.71, abs=0.006)


def test_gum_g_4_1_as_a_report():
    """JCGM 100:2008, G.4.1: u of 0.25, 0.57 and 0.82 % from 10, 5 and 15 readings give u_c = 1.03
    %, ν_eff = 19.0, t95 = 2.09 and U = 2.2 % (from memory). Here the first two are the sheet's
    budget and the third is the spread of fifteen readings: 7 a step of 3.176 above, 7 below and one
    between make s = 3.176 and s/√15 = 0.82."""
    readings = [*["103.18"] * 7, *["96.82"] * 7, "100.00"]
    u2 = 0.25 ** 2 + 0.57 ** 2
    degrees = u2 ** 2 / (0.25 ** 4 / 9 + 0.57 ** 4 / 4)
    budget = {"U": "1.2 V", "k": "2.00", "u": f"{u2 ** 0.5:.5f} V", "probability": "95 %",
              "degrees": f"{degrees:.8g}", "rectangles": [], "normal": f"{u2 ** 0.5:.5f} V"}
    found, shown = line(budget, readings)
    assert figures(found.sure.u, 3) == "1.03" and found.sure.degrees == 19
    assert figures(found.sure.k, 3) == "2.09" and shown.expanded == "2.2"
    assert shown.reading.startswith("100.00") and "ν = 19" in "; ".join(shown.remarks)


def test_few_readings_are_known_badly():
    """JCGM 100:2008, table G.2: t at 95.45 % is 13.97 for one degree of freedom, 2.87 for four
    (computed)."""
    for n, t in ((2, 13.97), (5, 2.87)):
        spread = [F(100) + F(k % 2, 100) for k in range(n)]
        found = with_readings(rectangles=[], normal=0.0, degrees=float("inf"), readings=spread,
                              probability=0.9545)
        assert found.k == pytest.approx(t, abs=0.006) and found.degrees == n - 1


def test_without_a_spread_nothing_is_added():
    """Readings that are all alike say that the resolution rules (exact): u, and k of the rectangle
    at 95.45 %, stay."""
    found = with_readings(rectangles=[0.05], normal=0.0, degrees=float("inf"),
                          readings=[F("100.1")] * 5, probability=0.9545)
    assert found.u == pytest.approx(0.05 / 3 ** 0.5) and found.k == pytest.approx(3 ** 0.5 * 0.9545)


def test_the_mean_is_given_to_the_place_of_u():
    """JCGM 100:2008, 7.2.6 (read): the result is rounded to the place of its uncertainty: 10.05762
    with u 27 mΩ is 10.058, so a mean of 100.0166… with U of two figures at 0.01 ends there."""
    budget = {"U": "0.10 V", "k": "2.00", "u": "0.05 V", "probability": "95.45 %", "degrees": "inf",
              "rectangles": [], "normal": "0.05 V"}
    _, shown = line(budget, ["100.00", "100.02", "100.03"])
    assert len(shown.expanded.partition(".")[2]) == 2
    assert shown.reading.replace("\u00a0", " ") == "100.02 V" and shown.error == "0.02"
