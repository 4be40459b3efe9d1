"""Six invented accuracy tables with what data sheets say beside a plain sum of terms, and limits
that were worked out by hand, term by term: held by the builder and by the phone's script alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.small_shop import function, meter, range_, row

ABOVE = {"source": "invented", "holds": "18 to 28 degC"}


@dataclass(frozen=True, kw_only=True)
class Case:
    """A value with its frequency on a function, the ambient ("" for the reference temperature) and
    both limits as they are displayed, or a word of the refusal's code."""

    function: str
    value: str
    hertz: str = ""
    ambient: str = ""
    low: str = ""
    high: str = ""
    exact: tuple[str, str] | None = None
    refused: str = ""


LOW_PASS = function(
    "AC voltage", range_("6 V", "1 mV", [row("+1 % -6 %", frequency="40 Hz to 200 Hz"),
                                         row("+(1 % + 2 counts) -(6 % + 5 counts)",
                                             frequency="200 Hz to 440 Hz")],
                         lowest="5 % of range"), name="Low pass")
ADDS = function(
    "DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
    range_("60 V", "10 mV", "0.4 % + 2 counts",
           additions=[{"add": "1 % + 4 counts", "values": "above 50 V"}]),
    additions=[{"add": "10 counts", "values": "0 to 5 % of range"}])
RISES = function(
    "AC voltage", range_("6 V", "1 mV", [row("1 % + 3 counts", frequency="40 Hz to 20 kHz")],
                         lowest="0.3 V"),
    range_("600 V", "0.1 V", [row("1 % + 3 counts", frequency="40 Hz to 20 kHz")], lowest="30 V",
           additions=[{"add": "2 counts per V", "above": "500 V"}]),
    ranging="manual",
    additions=[{"add": "0.2 % per kHz", "above": "1 kHz"},
               {"add": "2 %", "crest_factor": "2 to 3"}, {"add": "1 %", "humidity": "above 75 %"}])
DUTY = function("duty cycle", range_("100 %", "0.1 %", "0.1 % + 1 count"),
                additions=[{"add": "0.2 % per kHz"}], ranging="manual")
WARM = function(
    "DC current", range_("60 mA", "10 uA", "0.8 % + 3 counts"), jacks=["mA", "COM"],
    temperature_coefficient={"above": "0.01 % of reading + 0.5 count per degC",
                             "below": "10 % of the accuracy per degC"})
PARTS = function(
    "resistance", range_("600 ohm", "0.1 ohm", [
        row("0.5 % + 1/2 count", values="0 to 50 % of range", temperature_coefficient="none"),
        {"values": "50 to 100 % of range", "typical": "1 % + 5 counts"}],
        confirmed="half a count beside five"))
KELVIN = function("temperature", range_("1300 degC", "0.1 degC", "0.3 % + 1.8 degF",
                                        lowest="-200 degC",
                                        additions=[{"add": "2 degC", "values": "-200 degC to -100 "
                                                    "degC"}]),
                  display="20000 counts", ranging="manual", thermocouple="K")

FUNCTIONS: tuple[dict[str, Any], ...] = (LOW_PASS, ADDS, RISES, DUTY, WARM, PARTS, KELVIN)
METER = meter(*FUNCTIONS, jacks=["mA", "COM", "V"], specification=ABOVE | {
    "temperature_coefficient": "0.1 per degC", "humidity": "0 to 90 %"})

CASES = (
    # 3 V: 1 % is 30 mV up, 6 % is 180 mV down; at 300 Hz 2 and 5 counts more
    Case(function="Low pass", value="3 V", hertz="100 Hz", low="2.820 V", high="3.030 V"),
    Case(function="Low pass", value="3 V", hertz="300 Hz", low="2.815 V", high="3.032 V"),
    Case(function="Low pass", value="3.0005 V", hertz="100 Hz", low="2.821 V", high="3.030 V",
         exact=("2.82047 V", "3.030505 V")),
    # where both rows meet: the first is tighter on both sides
    Case(function="Low pass", value="3 V", hertz="200 Hz", low="2.820 V", high="3.030 V"),
    # 5.95 V + 1 % is past 5.999 V; down there would be room
    Case(function="Low pass", value="5.95 V", hertz="100 Hz", refused="tolerance-past-range"),
    # two degrees above: 1.2 times both, 36 and 216 mV
    Case(function="Low pass", value="3 V", hertz="100 Hz", ambient="30 degC", low="2.784 V",
         high="3.036 V"),
    # 0.2 V lies below 0.3 V: 0.8 + 2 + 10 = 12.8 mV; on the edge the tighter side holds, 3.2 mV
    Case(function="DC voltage", value="0.2 V", low="0.188 V", high="0.212 V"),
    Case(function="DC voltage", value="-0.2 V", low="-0.212 V", high="-0.188 V"),
    Case(function="DC voltage", value="0 V", low="-0.012 V", high="0.012 V"),
    Case(function="DC voltage", value="0.3 V", low="0.297 V", high="0.303 V"),
    Case(function="DC voltage", value="3 V", low="2.986 V", high="3.014 V"),
    # 55 V: 220 + 20 mV, and 550 + 40 mV more above 50 V
    Case(function="DC voltage", value="55 V", low="54.17 V", high="55.83 V"),
    Case(function="DC voltage", value="50 V", low="49.78 V", high="50.22 V"),
    # 3 V at 1 kHz 30 + 3 mV; at 11 kHz ten times 0.2 % more, 60 mV; no addition for a sine
    Case(function="AC voltage", value="3 V", hertz="1 kHz", low="2.967 V", high="3.033 V"),
    Case(function="AC voltage", value="3 V", hertz="500 Hz", low="2.967 V", high="3.033 V"),
    Case(function="AC voltage", value="3 V", hertz="11 kHz", low="2.907 V", high="3.093 V"),
    Case(function="AC voltage", value="3 V", hertz="2.5 kHz", low="2.958 V", high="3.042 V"),
    # 510 V: 5.1 + 0.3 V, and 10 V above 500 V twice 0.1 V each
    Case(function="AC voltage", value="510 V", hertz="50 Hz", low="502.6 V", high="517.4 V"),
    Case(function="AC voltage", value="500 V", hertz="50 Hz", low="494.7 V", high="505.3 V"),
    # 0.1 + 0.1 percentage points, and 0.2 for each of 5 kHz: 1.2
    Case(function="duty cycle", value="50 %", hertz="5 kHz", low="48.8 %", high="51.2 %"),
    Case(function="duty cycle", value="50 %", hertz="500 Hz", low="49.7 %", high="50.3 %"),
    Case(function="duty cycle", value="50 %", refused="needs-frequency"),
    # 30 mA: 240 + 30 uA; five degrees above 5 × (3 + 5) uA more, four below 1.4 times
    Case(function="DC current", value="30 mA", low="29.73 mA", high="30.27 mA"),
    Case(function="DC current", value="30 mA", ambient="33 degC", low="29.69 mA", high="30.31 mA",
         exact=("29.69 mA", "30.31 mA")),
    Case(function="DC current", value="30 mA", ambient="14 degC", low="29.63 mA", high="30.37 mA",
         exact=("29.622 mA", "30.378 mA")),
    # 100 ohm: 0.5 + 0.05 ohm; typical above 300 ohm; none stated for other temperatures
    Case(function="resistance", value="100 ohm", low="99.5 Ohm", high="100.5 Ohm",
         exact=("99.45 Ohm", "100.55 Ohm")),
    Case(function="resistance", value="300 ohm", low="298.5 Ohm", high="301.5 Ohm"),
    Case(function="resistance", value="400 ohm", refused="typical"),
    Case(function="resistance", value="100 ohm", ambient="30 degC", refused="no-coefficient"),
    # 1.8 degF is 1 degC; 2 degC more inside -200 to -100 degC
    Case(function="temperature", value="100 degC", low="98.7 degC", high="101.3 degC"),
    Case(function="temperature", value="-150 degC", low="-153.4 degC", high="-146.6 degC",
         exact=("-153.45 degC", "-146.55 degC")),
    Case(function="temperature", value="-100 degC", low="-101.3 degC", high="-98.7 degC"),
    Case(function="temperature", value="-50 degC", low="-51.1 degC", high="-48.9 degC"),
)
