"""Several coils in one plan: which of them a point goes through, and from which source."""

import pytest

from tests.small_shop import coil, load_points, only_problem, range_, row, standard, the_procedure

ROWS = [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")]
AMPS = {"function": "AC current", "clamp": "yes",
        "ranges": [range_("60 A", "10 mA", ROWS, lowest="3 A"),
                   range_("600 A", "0.1 A", ROWS, lowest="30 A")]}
SOURCE = standard({"AC current": {"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz"}})


def another(slug: str, **more) -> dict:
    return coil(**more) | {"standard": slug + "-coil", "name": slug.capitalize() + " coil"}


FEW = another("brant", turns="10", frequency="40 Hz to 1 kHz")
SLOW = another("eider", turns="50", frequency="40 Hz to 60 Hz")
MANY = another("smew", turns="500", frequency="40 Hz to 400 Hz")
HALF = standard({"AC current": {"values": "0 A to 1 A", "frequency": "40 Hz to 1 kHz"}},
                standard="gannet", name="Gannet")


def of_several(folder, point: dict, *sources: dict, **plan_more):
    return load_points(folder, AMPS, {"frequency": "50 Hz"} | point, plan_more=plan_more,
                       standards=[*(sources or [SOURCE]), FEW, SLOW, MANY])


@pytest.mark.parametrize("point, name, sets", [
    ({"apply": "15 A"}, "Brant coil", "1.5 A"), ({"apply": "54 A"}, "Eider coil", "1.08 A"),
    ({"apply": "54 A", "frequency": "400 Hz"}, "Smew coil", "0.108 A"),
    ({"apply": "300 A"}, "Smew coil", "0.6 A"),
    ({"apply": "15 A", "frequency": "1 kHz"}, "Brant coil", "1.5 A"),
    ({"apply": "15 A", "standard": "eider-coil"}, "Eider coil", "0.3 A"),
    ({"apply": "15 A", "standard": "petrel"}, "Brant coil", "1.5 A"),
])
def test_the_first_coil_that_reaches_the_point(point, name, sets, tmp_path):
    """10, 50 and 500 turns from a source of 2 A reach 20 A, 100 A and 1000 A, the second up to
    60 Hz and the third up to 400 Hz: the first that reaches the point, or the one it names. A point
    that names the source leaves the coil open."""
    procedure = the_procedure(of_several(tmp_path, point))
    assert procedure.points[0].planned.supply.coil.name == name
    assert procedure.data["points"][0]["source_setting"] == sets


def test_the_source_that_a_point_names_drives_the_coil(tmp_path):
    """The second source ends at 1 A: 15 A are too much for it through 10 turns, and are 0.3 A
    through 50."""
    point = {"apply": "15 A", "standard": "gannet"}
    supply = the_procedure(of_several(tmp_path, point, SOURCE, HALF)).points[0].planned.supply
    assert (supply.standard.name, supply.coil.name, float(supply.sets)) == (
        "Gannet", "Eider coil", 0.3)


def test_where_no_coil_reaches_the_last_one_says_why(tmp_path):
    """At 1 kHz 54 A are too much for the first coil, and too fast for the others."""
    found = only_problem(of_several(tmp_path, {"apply": "54 A", "frequency": "1 kHz"}))
    assert found.sentence.replace("\u00a0", " ") == (
        "54 A at 1 kHz is beyond Smew coil, which reaches 40 to 400 Hz")


@pytest.mark.parametrize("apply, name, sets", [("300 A", "Smew coil", "0.6 A"),
                                               ("54 A", "Eider coil", "1.08 A")])
def test_a_coil_that_reaches_is_taken_before_one_that_is_accepted(apply, name, sets, tmp_path):
    """The plan accepts a source that ends at 2 A. 54 A through the 10 turns that come first would
    be 5.4 A, which could only be accepted; 50 turns need 1.08 A. For 300 A the wire of the first is
    too thin, and the 50 turns would need 6 A; 500 turns need 0.6 A."""
    accepted = [{"what": "out of reach", "because": "another source is lent"}]
    procedure = the_procedure(of_several(tmp_path, {"apply": apply}, accepted=accepted))
    (point,) = procedure.points
    assert point.planned.supply.coil.name == name and point.mark == "" and point.sure
    assert procedure.data["points"][0]["source_setting"] == sets


def test_where_no_coil_reaches_the_first_one_is_accepted(tmp_path):
    """54 A from a source that ends at 0.1 A: 500 turns need 0.108 A of it, 50 need 1.08 A, and 10
    need 5.4 A; the first coil that can carry that is the one that the sheet names."""
    weak = standard({"AC current": {"values": "0 A to 0.1 A", "frequency": "40 Hz to 1 kHz"}})
    accepted = [{"what": "out of reach", "because": "another source is lent"}]
    procedure = the_procedure(of_several(tmp_path, {"apply": "54 A"}, weak, accepted=accepted))
    assert procedure.points[0].planned.supply.coil.name == "Brant coil"
    assert procedure.data["points"][0]["source_setting"] == "5.4 A"
    assert procedure.points[0].mark.endswith("another source is lent")
