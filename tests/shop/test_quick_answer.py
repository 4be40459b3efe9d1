"""The quick answer in a terminal; also the limits of functions whose points can't be planned
yet."""

import pytest

from builder import cli
from builder.files.problems import Wrong
from builder.shop import contents, quick_answer
from tests.small_shop import function, load, meter, range_, row, write

SPECIFICATION = {"source": "data sheet", "holds": "18 to 28 degC",
                 "temperature_coefficient": "0.1 per degC"}
METER = meter(
    function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"),
             range_("6 V", "1 mV", "0.4 % + 2 counts"),
             range_("600 V", "0.1 V", "0.5 % + 2 counts"), confirmed="few ranges do here"),
    function("AC voltage",
             range_("6 V", "1 mV", [row("1 % + 3 counts", frequency="45 Hz to 500 Hz")],
                    lowest="0.3 V")),
    function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 3 counts"),
             range_("6 MOhm", "1 kOhm", "1.5 % + 3 counts"), confirmed="few ranges do here"),
    function("capacitance", range_("60 nF", "10 pF", "4 % + 5 counts"),
             range_("6 \u03bcF", "1 nF", "4 % + 5 counts"), ranging="manual"),
    function("temperature", range_("400 degC", "0.1 degC", "1 % + 1 degC"),
             name="temperature in C"),
    function("temperature", range_("750 degF", "0.1 degF", "1 % + 1 degC"), name="temperature in F",
             display="7500"),
    function("temperature", range_("752 degF", "0.5 degF", "1.8 degF"), name="coarse"),
    function("conductance", range_("60 nS", "0.01 nS", "1 % + 10 counts")),
    function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts")),
    {"function": "continuity", "jacks": ["V", "COM"]},
    specification=SPECIFICATION, rated={"between_terminals": "500 V"})


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    found = load(tmp_path_factory.mktemp("quick"), METER)
    assert not found.errors, "\n".join(map(str, found.errors))
    return found


def answer(shop, *arguments) -> list[str]:
    return [line.replace("\u00a0", " ")
            for line in quick_answer.answer(contents.functions(shop, "lapwing-1"), *arguments)[0]]


@pytest.mark.parametrize("arguments, range_name, limits", [
    (("DC voltage", "3 V"), "6 V range", "2.986 V to 3.014 V"),
    (("dc voltage", "-3000 mV"), "6 V range", "−3.014 V to −2.986 V"),
    (("AC voltage", "3 V", "50 Hz"), "6 V range", "2.967 V to 3.033 V"),
    (("resistance", "0 ohm"), "600 Ω range", "0.0 Ω to 0.3 Ω"),  # clamped: no minus
    (("resistance", "100 ohm"), "600 Ω range", "98.8 Ω to 101.2 Ω"),
    (("resistance", "3 megohm"), "6 MΩ range", "2.952 MΩ to 3.048 MΩ"),  # 45 kΩ + 3 kΩ
    (("capacitance", "30 nF"), "60 nF range", "28.75 nF to 31.25 nF"),  # 1.2 nF + 50 pF
    (("capacitance", "3 uF"), "6 µF range", "2.875 µF to 3.125 µF"),
    (("temperature in C", "100 degC"), "400 °C range", "98.0 °C to 102.0 °C"),
    # 1 % of 100 °F + 1.8 °F
    (("temperature in F", "100 degF"), "750 °F range", "97.2 °F to 102.8 °F"),
    (("temperature in F", "-40 degF"), "750 °F range", "−42.2 °F to −37.8 °F"),  # 0.4 + 1.8
    # ±1.8 °F on half degrees, inward
    (("coarse", "100 degF"), "752 °F range", "98.5 °F to 101.5 °F"),
    (("conductance", "30 nS"), "60 nS range", "29.60 nS to 30.40 nS"),
    (("frequency", "5 kHz"), "6 kHz range", "4.992 kHz to 5.008 kHz"),
])
def test_the_limits_in_five_lines(arguments, range_name, limits, shop):
    """Range, tolerance, tolerance limits and accepted readings, worked out by hand here."""
    lines = answer(shop, *arguments)
    assert len(lines) == 5
    assert range_name in lines[1] and limits in lines[4], "\n".join(lines)


def test_how_the_limits_came_about(shop):
    """The five lines of one point, whole."""
    assert answer(shop, "DC voltage", "3 V") == [
        "Lapwing 1, DC voltage, at 18 to 28 °C, simple acceptance",
        "3.000 V on the 6 V range, ±(0.4 % + 2 counts)",
        "Tolerance: 0.4 % × 3.000 V + 2 × 0.001 V = 0.012 V + 0.002 V = 0.014 V",
        "Tolerance limits: 2.986 V and 3.014 V",
        "Accepted, in steps of 0.001 V: 2.986 V to 3.014 V",
    ]


@pytest.mark.parametrize("arguments, range_name, limits", [
    (("conductance", "30"), "60 nS range", "29.60 nS to 30.40 nS"),      # all ranges in nS
    (("temperature in C", "100"), "400 °C range", "98.0 °C to 102.0 °C"),
    (("DC voltage", "3", None, "6 V"), "6 V range", "2.986 V to 3.014 V"),   # by the range
    (("DC voltage", "0.3 V", None, "6 V"), "6 V range", "0.297 V to 0.303 V"),  # 3.2 mV
    (("DC voltage", "0.3 V", None, "600 V"), "600 V range", "0.1 V to 0.5 V"),  # 0.2015 V
    (("AC voltage", "3 V", "50"), "6 V range", "2.967 V to 3.033 V"),
    (("DC voltage", "3 V", None, None, "28 degC"), "6 V range", "2.986 V to 3.014 V"),
    (("DC voltage", "3 V", None, None, "33"), "6 V range", "2.979 V to 3.021 V"),  # 1.5 × 14 mV
    (("DC voltage", "3 V", None, None, "17 degC"), "6 V range", "2.985 V to 3.015 V"),  # 15.4 mV
])
def test_a_bare_number_a_range_by_hand_and_an_ambient(arguments, range_name, limits, shop):
    """A number without a unit is taken where it can only be in one; a range as it is selected; the
    accuracy as it has grown. Worked out by hand here."""
    lines = answer(shop, *arguments)
    assert range_name in lines[1] and limits in lines[4], "\n".join(lines)
    assert lines[0].split(" at ")[1].startswith(
        {"28 degC": "28 °C,", "33": "33 °C,", "17 degC": "17 °C,"}.get(arguments[-1], "18 to 28"))


@pytest.mark.parametrize("arguments, said", [
    (("DC voltage", "3 V", None, "60 V"), "has no range '60 V' one of: 600 mV, 6 V, 600 V"),
    (("DC voltage", "3 V", None, "6 A"), "has no range '6 A'"),
    (("DC voltage", "3 V", None, "6"), "has no unit"),
    (("DC voltage", "3 V", None, "600 mV"), "beyond the highest reading"),
    (("DC voltage", "3 V", None, None, "80 degF"), "is not in °C"),
    (("DC voltage", "3 V", None, None, "3 V"), "is not in °C"),
])
def test_a_range_or_an_ambient_that_is_not_there(arguments, said, shop):
    """The reason, and what there is."""
    with pytest.raises(Wrong) as caught:
        answer(shop, *arguments)
    assert said in (caught.value.sentence + " " + caught.value.hint).replace("\u00a0", " ")


def test_beyond_the_band_without_a_coefficient(tmp_path):
    """Nothing is assumed: inside the band it is answered, beyond it refused."""
    given = {"source": "data sheet", "holds": "18 to 28 degC"}
    one = load(tmp_path, meter(METER["functions"][0], specification=given))
    assert "at 20 °C" in answer(one, "DC voltage", "3 V", None, None, "20 degC")[0]
    with pytest.raises(Wrong, match="stated for the reference temperature only"):
        answer(one, "DC voltage", "3 V", None, None, "29 degC")


def test_where_no_range_can_be_selected(tmp_path):
    """Of a meter that ranges by itself only, the range that it will be on may be named, no
    other."""
    one = load(tmp_path, meter(METER["functions"][0] | {"ranging": "automatic only"}))
    assert answer(one, "DC voltage", "3 V", None, "6 V") == answer(one, "DC voltage", "3 V")
    with pytest.raises(Wrong, match="not on 600"):
        answer(one, "DC voltage", "3 V", None, "600 V")


def test_a_clamped_limit_is_said(shop):
    """Where the lower limit would be below 0 on a function that shows no minus, the answer says
    so."""
    assert "0 instead" in answer(shop, "resistance", "0 ohm")[4]


@pytest.mark.parametrize("arguments, said", [
    (("DC volts", "3 V"), "DC voltage"), (("DC voltage", "3 A"), "current"),
    (("DC voltage", "3"), "no unit"), (("capacitance", "3"), "no unit"),
    (("AC voltage", "3 V"), "needs a frequency"),
    (("AC voltage", "3 V", "50 V"), "no frequency"),
    (("AC voltage", "3 V", "0 Hz"), "no frequency"), (("DC voltage", "3 V", "50 Hz"), "leave out"),
    (("DC voltage", "0.6 V"), "0.604"),
    (("AC voltage", "3 V", "1 kHz"), "45 to 500 Hz"), (("DC voltage", "550 V"), "500"),
    (("temperature in C", "100 degF"), "degrees"), (("continuity", "1 ohm"), "no accuracy table"),
    (("DC voltage", "900 V"), "500"),
])
def test_what_has_no_limits_is_explained(arguments, said, shop):
    """A wrong name, unit, value or frequency is answered with the reason and what to do."""
    with pytest.raises(Wrong) as caught:
        answer(shop, *arguments)
    assert said in (caught.value.sentence + " " + caught.value.hint).replace("\u00a0", " ")


def test_exit_codes_and_streams(tmp_path, capsys, monkeypatch):
    """Limits go to standard output with exit 0; a reason why not to standard error with exit 1; a
    wrong call is 2."""
    folder = write(tmp_path / "procedures",
                   {"meters/lapwing-1.yaml": METER, "meters/broken.yaml": "meter: broken\n"})
    monkeypatch.setattr(cli, "PROCEDURES", folder)
    assert cli.main(["limits", "lapwing-1", "DC voltage", "3 V"]) == 0
    assert "2.986" in capsys.readouterr().out
    assert cli.main(["limits", "Lapwing 1", "DC voltage", "3 V"]) == 0
    capsys.readouterr()
    for arguments, said in ((["lapwing-2", "DC voltage", "3 V"], "lapwing-1"),
                            (["broken", "DC voltage", "3 V"], "missing"),
                            (["lapwing-1", "DC voltage", "600 V"], "500")):
        assert cli.main(["limits", *arguments]) == 1
        printed = capsys.readouterr()
        assert printed.out == "" and said in printed.err
    assert cli.main(["limits", "lapwing-1"]) == 2
    assert "usage" in capsys.readouterr().err


@pytest.mark.parametrize("value, said", [
    ("-1000 degC", "outside type K, which goes from −270 °C to 1372 °C"),
    ("-300 degC", "outside type K"), ("1380 degC", "outside type K"),
    ("-250 degC", "below the lowest specified value of the 1400 °C range, −200 °C"),
    ("-200.1 degC", "below the lowest specified value")])
def test_no_limits_outside_what_a_thermocouple_can_have(value, said, tmp_path):
    """Nothing below its lower end, and nothing that its type isn't defined for."""
    one = load(tmp_path, meter(function(
        "temperature", range_("1400 degC", "0.1 degC", "0.3 % + 1.2 degC", lowest="-200 degC"),
        thermocouple="K", display="20 000 counts", ranging="manual")))
    with pytest.raises(Wrong) as caught:
        answer(one, "temperature", value)
    assert said in caught.value.sentence.replace("\u00a0", " ")
    assert "−101.5 °C to −98.5 °C" in answer(one, "temperature", "-100 degC")[4]


def test_the_ends_of_a_type_in_the_degrees_of_the_meter(tmp_path):
    """−200 to 850 degC are −328 to 1562 degF, exactly."""
    one = load(tmp_path, meter(function(
        "temperature", range_("2000 degF", "0.5 degF", "2 degF"), resistance_thermometer="Pt100")))
    for value in ("-328.5 degF", "1562.5 degF"):
        with pytest.raises(Wrong, match="Pt100, which goes from −328.°F to 1562.°F"):
            answer(one, "temperature", value)
    assert answer(one, "temperature", "-328 degF") and answer(one, "temperature", "1562 degF")
