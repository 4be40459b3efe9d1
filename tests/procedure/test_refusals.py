"""Every reason not to give a limit, reached through the pipeline: its place, its sentence, and a
hint that leads on."""

import re

import pytest

from builder.procedure.refusals import REFUSALS
from tests.small_shop import (JUNCTION, LEADS, box, coil, function, load, load_points, meter, only_problem,
                              plan, range_, reference, row, standard, the_procedure)

SIX = range_("6 V", "1 mV", "0.4 % + 2 counts")
DC = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"), SIX)
AC = function("AC voltage",
              range_("6 V", "1 mV",
                     [row("1 % + 3 counts", frequency="40 Hz to 400 Hz"),
                      row("2 % + 3 counts", frequency="1 kHz to 2 kHz")], lowest="0.3 V"))
COUNTER = function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"),
                   input={"volt_hertz": "20000 V Hz"})
PARTS = function("DC voltage",
                 range_("6 V", "1 mV",
                        [row("1 %", values="0 V to 2 V"), row("2 %", values="3 V to 6 V")]),
                 confirmed="a hole between the rows")
COARSE = function("DC voltage", range_("6 V", "0.1 V", "0.4 counts"), display="60 counts",
                  confirmed="less than a count")
NARROW = {"DC voltage": {"values": "0 V to 2 V"}}
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
FARADS = function("capacitance", range_("60 nF", "10 pF", "3 % + 20 counts"))
CLAMP = {"function": "AC current", "clamp": "yes",
         "ranges": [range_("60 A", "10 mA", [row("2 % + 5 counts", frequency="45 Hz to 1 kHz")],
                           lowest="3 A")]}
KELVINS = function("temperature", range_("1300 degC", "0.1 degC", "0.3 % + 1.2 degC"),
                   display="20 000 counts", ranging="manual")
OHM_BOX, FARAD_BOX = box(("100 ohm", "100.003 ohm", "5 mohm")), box(
    ("10 nF", "10.024 nF", "20 pF"), what="capacitance")
OF_METHOD = FARAD_BOX | {"artifacts": [FARAD_BOX["artifacts"][0] | {"method": "1 kHz"}]}
REFERENCES = reference(("resistance",
                        {"values": "0 ohm to 1 kohm", "resolution": "1 mohm", "within": "0.01 %"}),
                       ("capacitance",
                        {"values": "0 nF to 1 uF", "resolution": "1 pF", "within": "0.4 %"},
                        {"method": "charged by DC"}))
ON = {"compare_on": "a part from the drawer"}
WAVES = standard({},
                 outputs=[{"output": "AC voltage", "wave": wave, "terminals": ["HI", "LO"],
                           "rows": [{"values": "0 V to 10 V", "frequency": "10 Hz to 2 kHz",
                                     "within": "1 %"}]}
                          for wave in ("sine", "triangle")])
WEAK = standard({"DC voltage": {"values": "0 V to 10 V", "drives": "1 mA"}})
LEANING = function("DC voltage", range_("6 V", "1 mV", "+1 % -6 %"))
CROSSING = function("DC voltage", range_("6 V", "1 mV", [row("+1 % -6 %", values="0 V to 3 V"),
                                                         row("+2 % -3 %", values="3 V to 6 V")]))
LIKELY = function("AC voltage", range_("6 V", "1 mV", [
    row("1 %", frequency="40 Hz to 400 Hz", values="0 V to 3 V"),
    {"frequency": "40 Hz to 400 Hz", "values": "3 V to 6 V", "typical": "2 %"}]))
COLD = function("DC voltage", range_("6 V", "1 mV", [
    row("1 %", values="0 V to 4 V"),
    row("2 %", values="4 V to 6 V", temperature_coefficient="0.1 per degC")]))
VOLTS_BESIDE = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                         "within": "0.01 %"}))
CORRECTED_BESIDE = reference((
    "DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV", "within": "5 mV"},
    {"corrections": {"use": "applied", "drift": "included", "between": "straight line",
                     "between_within": "1 mV", "values": [
                         {"at": at, "correction": "1 mV", "within": "1 mV"}
                         for at in ("2.4 V", "3.7 V")]}}))
SHORT = function("DC voltage", range_("6 V", "1 mV", "1 %", on_at_most="9 s"))

OWN_ZERO = OHMS | {"after_zeroing": "no", "relative": "press REL"}
PAIR = box(("90 mohm", "91.7 mohm", "2 mohm"), standard="pair-7", name="Pair 7")
KNOWN = {"leads": LEADS | {"known": {"standard": "pair-7"}}}

CASES = {
    # code: function, point, more of the project, words of the sentence, words of the hint
    "beyond-range": (DC, {"apply": "6 V"}, {}, ["6.000 V", "6 V range", "5.999 V"], ["lower"]),
    "tolerance-past-range": (DC, {"apply": "5.98 V"}, {}, ["5.980 V", "0.0259 V", "5.999 V", "overload"], ["5.973 V"]),
    "no-minus": (AC, {"apply": "-3 V", "frequency": "50 Hz"}, {}, ["no minus"], ["sign"]),
    "no-zero": (AC, {"apply": "0 V", "frequency": "50 Hz"}, {}, ["zero"], ["observe"]),
    "below-one-count": (DC, {"apply": "0.06 mV"}, {}, ["0.06 mV", "0.1 mV"], ["clear on the 600 mV range"]),
    "below-lowest": (AC, {"apply": "0.2 V", "frequency": "50 Hz"}, {}, ["0.200 V", "0.3 V"], ["0.300 V", "observe"]),
    "frequency-outside": (AC, {"apply": "3 V", "frequency": "500 Hz"}, {}, ["500 Hz", "6 V"], ["40 to 400 Hz", "1 to 2 kHz", "observe"]),
    "value-outside": (PARTS, {"apply": "2.5 V"}, {}, ["2.500 V"], ["observe"]),
    "nothing-displayable": (COARSE, {"apply": "2.05 V"}, {}, ["2.05 V", "0.04 V", "6 V"], ["0.1 V"]),
    "accepts-zero": (DC, {"apply": "0.2 mV"}, {}, ["dead meter"], ["0.4 mV", "observe"]),
    "two-sided-minus": (LEANING, {"apply": "-3 V"}, {}, ["up and down", "-3.000 V".replace("-", "−")], ["above zero", "observe"]),
    "rows-cross": (CROSSING, {"apply": "3 V"}, {}, ["3.000 V", "tighter up", "6 V range"], ["one row holds"]),
    "typical": (LIKELY, {"apply": "4 V", "find": "bandwidth", "frequency": "50 Hz"}, {}, ["typical", "4.000 V", "no limit"], ["observe"]),
    "no-coefficient": (COLD, {"apply": "3 V"}, {"specification": {"source": "x", "holds": "18 to 28 degC"}, "plan_more": {"ambient": "30 to 31 degC"}}, ["reference temperature only"], ["temperature_coefficient"]),
    "reference-sides": (LEANING, {"apply": "3 V"} | ON, {"standards": [VOLTS_BESIDE]}, ["up and down", "6 V range"], ["observe"]),
    "other-range": (DC, {"apply": "0.3 V", "range": "6 V"}, {}, ["600 mV", "6 V"], ["force_range: 6"]),
    "unclear-range": (DC, {"apply": "0.6 V"}, {}, ["0.600 V", "600 mV", "6 V"], ["0.604 V", "force_range: 6"]),
    "beyond-input": (DC, {"apply": "3 V"}, {"rated": {"between_terminals": "2 V"}}, ["3 V", "2 V"], ["before any accuracy"]),
    "beyond-peak": (AC | {"input": {"peak": "4 V"}}, {"apply": "3 V", "frequency": "50 Hz"}, {}, ["peak", "3 V", "4 V"], ["lower"]),
    "beyond-volt-hertz": (AC | {"input": {"volt_hertz": "1000 V Hz"}}, {"apply": "3 V", "frequency": "400 Hz"}, {}, ["3 V", "400 Hz", "1000 V·Hz"], ["lower"]),
    "no-output": (AC, {"apply": "3 V", "frequency": "50 Hz"}, {"standard_file": standard(NARROW)}, ["Petrel", "AC voltage"], ["leave it out"]),
    "beyond-reach": (DC, {"apply": "3 V"}, {"standard_file": standard(NARROW)}, ["3 V", "Petrel"], ["0 to 2 V"]),
    "no-reference": (DC, {"apply": "3 V"} | ON, {}, ["no reference meter", "Petrel"], ["compare_on"]),
    "no-measurement": (DC, {"apply": "3 V"} | ON, {"standards": [REFERENCES]}, ["Skua", "DC voltage"], ["reference meter that can", "leave it out"]),
    "other-method": (FARADS | {"method": "charged by AC"}, {"apply": "20 nF"} | ON, {"standards": [REFERENCES]}, ["both be good"], ["observe", "'method'", "Skua", "other_method"]),
    "other-method-of-box": (FARADS, {"apply": "10 nF"}, {"standards": [OF_METHOD], "plan_more": {"leads": LEADS}}, ["Auk box", "1 kHz", "another method or none"], ["other_method", "observe"]),
    "reference-correction": (DC, {"apply": "3 V"} | ON, {"standards": [CORRECTED_BESIDE]}, ["Skua", "are to be applied", "five quarters of 3 V"], ["not zero", "use: stated"]),
    "reference-leads": (OHMS, {"apply": "100 ohm"} | ON, {"standards": [REFERENCES], "plan_more": {"leads": LEADS}}, ["leads", "both readings"], ["zero: relative"]),
    "no-coil": (CLAMP, {"apply": "30 A", "frequency": "50 Hz"}, {}, ["coil", "Petrel"], ["standards"]),
    "coil-current": (CLAMP, {"apply": "30.01 A", "frequency": "50 Hz"}, {"standards": [standard(), coil(turns="3")]}, ["30.01 A", "Scoter coil"], ["multiple"]),
    "reference-row": (PARTS, {"apply": "3.5 V"} | ON, {"standards": [VOLTS_BESIDE]}, ["3.500 V", "6 V range"], ["80 to 125 %"]),
    "leads-past-range": (OHMS, {"apply": "593.5 ohm"}, {"standards": [box(("593.5 ohm", "593.5 ohm", "1 ohm"))], "plan_more": {"leads": LEADS | {"contacts": "1 ohm"}}}, ["593.5 Ω", "leads"], ["choose another value"]),
    "beyond-coil": (CLAMP, {"apply": "54 A", "frequency": "50 Hz"}, {"standards": [standard(), coil(highest="1 A")]}, ["54 A at 50 Hz", "Scoter coil", "50 A"], ["lower"]),
    "no-thermocouple": (KELVINS, {"apply": "100 degC"}, {}, ["type of thermocouple"], ["thermocouple: K"]),
    "no-junction": (KELVINS | {"thermocouple": "K"}, {"apply": "100 degC"}, {}, ["own junction"], ["junction: {measured", "within: 0.3 degC}"]),
    "outside-thermocouple": (KELVINS | {"thermocouple": "B"}, {"apply": "500 degC"}, {"plan_more": {"junction": JUNCTION}, "specification": {"source": "x", "holds": "-10 to 40 degC"}},
                             ["type B", "0 and 1820 °C", "junction"], ["inside", "ambient"]),
    "outside-sensor": (KELVINS | {"thermocouple": "T"}, {"apply": "500 degC"}, {"plan_more": {"junction": JUNCTION}}, ["500", "type T", "−270 °C to 400 °C"], ["inside"]),
    "below-absolute-zero": (KELVINS, {"apply": "-300 degC"}, {}, ["−300", "−273.15 °C"], ["higher"]),
    "outside-resistances": (KELVINS | {"resistance_thermometer": "Pt100"}, {"apply": "850 degC"}, {"standards": [box(("390.48 ohm", "390.5 ohm", "5 mohm"))], "plan_more": {"leads": LEADS}}, ["Pt100", "leads"], ["further inside"]),
    "beyond-drive": (DC | {"input_resistance": "2 kohm"}, {"apply": "3 V"}, {"standard_file": WEAK}, ["Petrel", "3 V", "1 mA"], ["lower"]),
    "no-leads": (OHMS, {"apply": "100 ohm"}, {"standards": [OHM_BOX]}, ["two-wire leads"], ["leads: {length: 1 m", "repeats: 10 mohm", "stray", "zero: none"]),
    "no-stray": (FARADS, {"apply": "10 nF"}, {"standards": [FARAD_BOX], "plan_more": {"leads": {k: v for k, v in LEADS.items() if "stray" not in k}}},
                 ["capacitance between the leads"], ["stray: 100 pF, stray_repeats: 5 pF"]),
    "no-loop": (function("inductance", range_("600 uH", "0.1 uH", "3 % + 20 counts")), {"apply": "100 uH"}, {"standards": [box(("100 uH", "100.2 uH", "1 uH"), what="inductance")], "plan_more": {"leads": LEADS}},
                ["inductance of the leads"], ["inductance: 2 uH"]),
    "own-zero": (OHMS | {"after_zeroing": "no"}, {"apply": "100 ohm"}, {"standards": [OHM_BOX], "plan_more": {"leads": LEADS}},
                 ["own error at zero", "after zeroing"], ["after_zeroing: yes", "observe: …"]),
    "known-relative": (OWN_ZERO, {"apply": "100 ohm", "zero": "relative"}, {"standards": [OHM_BOX, PAIR], "plan_more": KNOWN}, ["leads are known", "after zeroing"], ["zero: relative"]),
    "known-compared": (OWN_ZERO, {"apply": "100 ohm"} | ON, {"standards": [REFERENCES, PAIR], "plan_more": KNOWN}, ["reference meter's own leads"], ["a box or a source", "observe"]),
    "known-zero-setting": (OWN_ZERO, {"apply": "100 ohm"}, {"standards": [OHM_BOX | {"artifacts": [OHM_BOX["artifacts"][0] | {"zero": "its zero setting"}]}, PAIR], "plan_more": KNOWN}, ["Auk box", "zero setting"], ["another standard", "observe"]),
    "no-relative": (OHMS, {"apply": "100 ohm", "zero": "relative"}, {"standards": [OHM_BOX], "plan_more": {"leads": LEADS}}, ["no key"], ["relative: press REL", "zero: subtract"]),
    "wave-too-high": (AC, {"apply": "3.001 V", "frequency": "50 Hz", "wave": "triangle"}, {"standard_file": WAVES}, ["3.001 V", "half of the 6 V range", "peak"], ["lower"]),
    "beyond-crest": (AC | {"crest_factor": "1.7"}, {"apply": "2 V", "frequency": "50 Hz", "wave": "triangle"}, {"standard_file": WAVES}, ["crest factor", "triangle", "1.7"], ["leave it out"]),
    "nothing-beyond": (AC, {"apply": "3 V", "frequency": "2 kHz", "find": "bandwidth"}, {"standard_file": WAVES}, ["Petrel", "ends at this frequency"], ["start lower"]),
    "on-too-short": (SHORT, {"apply": "3 V"}, {}, ["may be on for 9 s", "takes 10 s"], ["for longer"]),
    "nothing-below": (COUNTER, {"apply": "300 Hz", "level": "1 mV", "find": "sensitivity"}, {}, ["Petrel", "ends at this level"], ["start higher"]),
}


def refused(folder, code):
    one, point, more, _, _ = CASES[code]
    return only_problem(load_points(folder, one, point, **more))


def test_every_refusal_has_a_case():
    """A new reason to refuse needs a case here; the reason why nothing is recommended for a row has
    its own in test_completeness_table.py, and a question without a frequency, which no plan may
    have, in term_cases.py."""
    assert set(CASES) | {"tighter-row", "needs-frequency"} == set(REFUSALS)


@pytest.mark.parametrize("code", CASES)
def test_the_refusal_is_reached_at_its_place(code, tmp_path):
    """The one problem stands at the point's value in the plan, or at its frequency, in words that name value, range and
    reason, with a hint."""
    found = refused(tmp_path, code)
    _, point, _, words, hints = CASES[code]
    assert (found.code, found.place.file) == (code, "procedures/plans/lapwing-yearly.yaml")
    at = "frequency" if code == "frequency-outside" else "apply"
    assert found.place.text[found.place.column - 1:].startswith(f'"{point[at]}"')
    sentence, hint = found.sentence.replace("\u00a0", " "), found.hint.replace("\u00a0", " ")
    assert all(word in sentence for word in words), sentence
    assert all(word in hint for word in hints), hint
    assert not re.search(r"\{\w*\}", sentence + hint) and "None" not in sentence + hint


@pytest.mark.parametrize("code",
                         ["tolerance-past-range", "below-lowest", "accepts-zero", "unclear-range",
                          "below-one-count"])
def test_the_value_that_a_hint_names_is_accepted(code, tmp_path):
    """What the hint offers can be typed as it stands and gives limits."""
    one, point, more, _, _ = CASES[code]
    hint = refused(tmp_path, code).hint
    offered = re.findall(r"[−-]?[\d.]+\u00a0m?V(?= or|;|$)", hint.split("range: ", 1)[1])
    assert offered, hint
    for n, value in enumerate(offered):
        the_procedure(load_points(tmp_path / str(n), one,
                                  point | {"apply": value.replace("\u00a0", " ")}, **more))


@pytest.mark.parametrize("more",
                         [{"rated": {"between_terminals": "600 V"}},
                          {"standard_file": standard({"DC voltage": {"values": "0 V to 602 V"}})}])
def test_a_hint_names_no_value_that_cannot_be_applied(more, tmp_path):
    """Above 600 V the next clear value is 604 V, which this input or this source can't take: it
    isn't offered."""
    one = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 2 counts"),
                   range_("1000 V", "1 V", "0.5 % + 2 counts"))
    found = only_problem(load_points(tmp_path, one, {"apply": "600 V"}, **more))
    assert found.code == "unclear-range" and "604" not in found.hint


def test_the_range_that_a_hint_names_can_be_forced(tmp_path):
    """`force_range` with the range of the hint gives limits, and the sheet says to select it by
    hand."""
    for n, code in enumerate(("unclear-range", "other-range")):
        one, point, _, _, _ = CASES[code]
        forced = {"apply": point["apply"],
                  "force_range": re.search(r"force_range: ([^']+)'",
                                           refused(tmp_path / code, code).hint)[1].replace(
                                               "\u00a0", " ")}
        (found,) = the_procedure(load_points(tmp_path / str(n), one, forced)).points
        assert found.forced and found.range == "6\u00a0V"


def test_a_hint_names_no_way_that_the_meter_lacks(tmp_path):
    """Where no range can be selected by hand the hint doesn't say to force one."""
    for n, code in enumerate(("unclear-range", "other-range")):
        found = only_problem(load_points(tmp_path / str(n), DC | {"ranging": "automatic only"},
                                         CASES[code][1]))
        assert found.code == code and "force_range" not in found.hint


def test_a_frequency_refused_stands_at_the_frequency(tmp_path):
    """Of several frequencies the one that no row covers is shown."""
    found = only_problem(load(tmp_path, meter(AC),
                              plan({"function": "AC voltage", "apply": "3 V",
                                    "frequency": ["50 Hz", "500 Hz", "1 kHz"]})))
    assert found.place.text.strip().startswith('"500 Hz"')
