"""What changed between two sheets, said in words, against what was changed in their files."""

from dataclasses import replace

import pytest

from builder.frozen.sheet_changes import NOT_SEEN, changes
from builder.procedure.data_of_sheet import sheet_data
from builder.procedure.revision import with_revision
from builder.shop import loading
from tests import small_shop as shops
from tests.recorded import CHECKS, DIODE, OHMS, VOLTS, plan

PLAN = "plans/lapwing-yearly.yaml"


def made(folder, box="50.01 ohm", volts=None, **files):
    """The computed procedure of the small shop, less what `files` replace."""
    root = shops.write(folder / "procedures", {
        "meters/lapwing-1.yaml": shops.meter(volts or VOLTS, OHMS, DIODE),
        "standards/petrel.yaml": shops.standard(),
        "standards/auk-box.yaml": shops.box(("50 ohm", box, "5 mohm")), PLAN: plan()} | files)
    shop = loading.load_shop(root)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    return shop.procedures["lapwing-yearly"]


def said(tmp_path, **more):
    old, new = made(tmp_path / "a"), made(tmp_path / "b", **more)
    return changes(old.sheet_data, new.sheet_data), old.revision == new.revision


def test_a_sheet_that_is_the_same(tmp_path):
    """Nothing is said."""
    assert said(tmp_path) == ([], True)


def test_another_limit(tmp_path):
    """Each point with both limits, before and after."""
    tighter = shops.function("DC voltage", shops.range_("6 V", "1 mV", "0.3 % + 2 counts"),
                             VOLTS["ranges"][1], dial="V DC")
    lines, same = said(tmp_path, volts=tighter)
    assert not same
    assert any(line.startswith("DC voltage, 3.000 V on 6 V (step ") and
               "limits 2.989 V to 3.011 V (before: 2.986 V to 3.014 V)" in line for line in lines)
    assert any(line.startswith("DC voltage, −3.000 V on 6 V") for line in lines)
    assert not [line for line in lines if "600 V" in line or "Resistance" in line]


def test_a_certified_value(tmp_path):
    """The limits stand around it."""
    lines, same = said(tmp_path, box="50.21 ohm")
    assert not same and any("value at the input 50.21 Ω (before: 50.01 Ω)" in line
                            and "limits" in line for line in lines)


def test_a_certificate(tmp_path):
    """The revision is the same, and the change is still said."""
    assert said(tmp_path, **{"standards/petrel.yaml": shops.standard(certificate="P-2")}) == (
        ["Petrel: certificate P-2 (before: P-1)."], True)


def test_points_that_come_and_go(tmp_path):
    """By what they are; the others have other steps."""
    points = [one for one in plan()["points"] if one.get("range") != "600 V"]
    points[0] = {"function": "DC voltage", "apply": ["1 V", "3 V", "-3 V"]}
    points.append({"function": "DC voltage", "range": "600 V", "apply": ["100 V"]})
    lines, _ = said(tmp_path, **{PLAN: plan(points=points)})
    assert any(one.startswith("New point: DC voltage, 1.000 V on 6 V (step ") for one in lines)
    assert any(one.startswith("Point gone: DC voltage, 540.0 V on 600 V (it was step ")
               for one in lines)
    assert any(one.endswith("with another step number.") for one in lines)


def test_another_step(tmp_path):
    """The dial's step under both its words."""
    other = shops.function("DC voltage", *VOLTS["ranges"], dial="VOLTS")
    lines, _ = said(tmp_path, volts=other)
    assert any("step before added: Meter: dial to VOLTS" in one for one in lines)
    assert any("step before gone: Meter: dial to V DC" in one for one in lines)


def test_checks(tmp_path):
    """New, gone, and another text of the shop."""
    changed = [{"check": "leads", "good": "no cut"} if one == "leads" else one for one in CHECKS]
    lines, _ = said(tmp_path, **{PLAN: plan(checks=[*changed, "seals"])})
    assert any(one.startswith("New check: Seals (step ") for one in lines)
    assert any("Check Leads" in one and "what is good no cut (before: " in one for one in lines)
    lines = changes(made(tmp_path / "c", **{PLAN: plan(checks=[*CHECKS, "seals"])}).sheet_data,
                    made(tmp_path / "d").sheet_data)
    assert "Check gone: Seals." in lines


def test_rule_conditions_title(tmp_path):
    """The head, each by its name."""
    lines, _ = said(tmp_path, **{PLAN: plan(title="Another title", ambient="20 to 26 degC",
                                            decision_rule="guard band of U")})
    assert "Title Another title (before: Lapwing 1, yearly)." in lines
    assert any(one.startswith("Ambient 20") for one in lines)
    assert any(one.startswith("Decision rule guard band of U (before: ") for one in lines)


@pytest.mark.parametrize("change", [
    lambda sheet: replace(sheet, groups=sheet.groups[::-1]),
    lambda sheet: replace(sheet, plan=sheet.plan.model_copy(update={"note": "a note"})),
    lambda sheet: replace(sheet, groups=(replace(sheet.groups[0], cautions=()),
                                         *sheet.groups[1:])),
    lambda sheet: replace(sheet, groups=tuple(replace(one, cautions=()) for one in sheet.groups)),
])
def test_whatever_changes_the_revision_is_said(tmp_path, change):
    """Order, notes, cautions: never nothing."""
    old = made(tmp_path)
    new = change(old)
    new = with_revision(new, sheet_data(new))
    lines = changes(old.sheet_data, new.sheet_data)
    assert bool(lines) == (new.revision != old.revision)


def test_a_caution_that_goes(tmp_path):
    """In its own words."""
    old = made(tmp_path)
    new = replace(old, groups=tuple(replace(one, cautions=()) for one in old.groups))
    lines = changes(old.sheet_data, with_revision(new, sheet_data(new)).sheet_data)
    assert any("caution gone: WARNING: up to 540" in one for one in lines)


def test_what_the_data_do_not_show(tmp_path):
    """Another revision with the same data is said to be so."""
    data = made(tmp_path).sheet_data
    assert changes(data, data.model_copy(update={"revision": "0" * 12})) == [NOT_SEEN]
