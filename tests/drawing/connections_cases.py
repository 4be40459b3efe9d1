"""Connections that a shop meets, drawn and looked at; the names are invented."""

from builder.drawing.connections import Connection, Device, DrawnCoil, Lead, Link

FULMAR = Device("Fulmar", "source", ("HI", "LO"))
WHOLE = Device("Fulmar", "multifunction source", ("HI", "LO", "I HI", "I LO"))
GANNET = Device("Gannet", "reference meter", ("HI", "LO"))
RAZORBILL = Device("Razorbill", "box at 100 Ω", ("1", "2"))
TURNSTONE = Device("Turnstone C", "box at 100 nF", ("H", "L"))
LONG = "Turnstone C multifunction transfer meter"  # 40 characters
USUAL = ("10 A", "mA", "COM", "V")


def two(high, low, first="HI", second="LO", high_at=0, low_at=0):
    return (Lead(high, True, high_at, first), Lead(low, False, low_at, second))


def ends(high, low):
    return (Lead(high, True), Lead(low, False))


PARALLEL = (Link(0, "HI", 1, "HI", True), Link(0, "LO", 1, "LO", False))

CASES = {
    "voltage": Connection(meter="Dunlin 60", jacks=USUAL, dial="V DC", devices=(FULMAR,),
                          leads=two("V", "COM")),
    "voltage, three jacks": Connection(meter="Dunlin 60", jacks=("10 A", "COM", "V"), dial="V DC",
                                       devices=(FULMAR,),
                                       leads=two("V", "COM")),
    "voltage, V first": Connection(meter="Dunlin 60", jacks=("V", "COM"), dial="V AC",
                                   devices=(FULMAR,), leads=two("V", "COM")),
    "voltage, two units at a jack": Connection(meter="Whimbrel 200",
                                               jacks=("A", "mA µA", "COM", "V Ω"),
                                               dial="V AC LoZ", devices=(FULMAR,),
                                               leads=two("V Ω", "COM")),
    "voltage, jacks between": Connection(meter="Dunlin 60", jacks=("COM", "mA", "10 A", "V"),
                                         dial=None, devices=(FULMAR,),
                                         leads=two("V", "COM")),
    "current, mA": Connection(meter="Dunlin 60", jacks=USUAL, dial="mA DC", devices=(WHOLE,),
                              leads=two("mA", "COM", "I HI", "I LO")),
    "current, 10 A": Connection(meter="Dunlin 60", jacks=USUAL, dial="A DC",
                                devices=(Device("Fulmar", "source", ("I HI", "I LO")),),
                                leads=two("10 A", "COM", "I HI", "I LO")),
    "current, A beyond V": Connection(meter="Dunlin 60", jacks=("V", "COM", "mA", "A"), dial="A AC",
                                      devices=(WHOLE,),
                                      leads=two("A", "COM", "I HI", "I LO")),
    "resistors": Connection(meter="Dunlin 60", jacks=USUAL, dial="Ω", devices=(RAZORBILL,),
                            leads=two("V", "COM", "1", "2")),
    "capacitors": Connection(meter="Whimbrel 200", jacks=("A", "mA µA", "COM", "V Ω"),
                             dial="capacitor symbol",
                             devices=(TURNSTONE,), leads=two("V Ω", "COM", "H", "L")),
    "together": Connection(meter="Dunlin 60", jacks=USUAL, dial="Ω", leads=ends("V", "COM"),
                           together=True),
    "apart": Connection(meter="Dunlin 60", jacks=("V", "COM", "mA", "10 A"),
                        dial="capacitor symbol",
                        leads=ends("V", "COM")),
    "voltage compared": Connection(meter="Dunlin 60", jacks=USUAL, dial="V DC",
                                   devices=(FULMAR, GANNET),
                                   leads=two("V", "COM", high_at=1, low_at=1), links=PARALLEL),
    "capacitor compared": Connection(meter="Dunlin 60", jacks=("V", "COM", "A"),
                                     dial="capacitor symbol",
                                     devices=(TURNSTONE, GANNET), leads=two("V", "COM", "H", "L"),
                                     links=(Link(0, "H", 1, "HI", True),
                                            Link(0, "L", 1, "LO", False))),
    "current compared": Connection(meter="Dunlin 60", jacks=USUAL, dial="mA DC",
                                   devices=(Device("Fulmar", "source", ("I HI", "I LO")), GANNET),
                                   leads=two("mA", "COM", "LO", "I LO", 1, 0),
                                   links=(Link(0, "I HI", 1, "HI", True),)),
    "current compared, A last": Connection(meter="Dunlin 60", jacks=("V", "COM", "mA", "A"),
                                           dial="A DC",
                                           devices=(WHOLE,
                                                    Device(
                                                        "Gannet", "reference meter",
                                                        ("HI", "LO", "A"))),
                                           leads=two("A", "COM", "LO", "I LO", 1, 0),
                                           links=(Link(0, "I HI", 1, "A", True),)),
    "thermocouple": Connection(meter="Dunlin 60", jacks=("10 A", "mA", "COM", "V °C"), dial="°C",
                               devices=(FULMAR,),
                               leads=two("V °C", "COM"), thermometer="Siskin thermometer",
                               thermometer_at="V °C",
                               note="copper leads"),
    "thermocouple, first jacks": Connection(meter="Dunlin 60", jacks=("V", "COM"), dial="°C",
                                            devices=(WHOLE,),
                                            leads=two("V", "COM"), thermometer="Siskin",
                                            thermometer_at="V"),
    "clamp": Connection(meter="Dunlin 60 C", jacks=("COM", "V Ω"), dial="A AC",
                        devices=(Device("Fulmar", "source", ("I HI", "I LO")),),
                        coil=DrawnCoil(50, 0, "I HI", "I LO")),
    "clamp, the wrong way": Connection(meter="Dunlin 60 C", jacks=("COM", "V Ω"), dial="A DC",
                                       devices=(Device("Fulmar", "source", ("I HI", "I LO")),),
                                       coil=DrawnCoil(50, 0, "I LO", "I HI")),
    "clamp without jacks, one turn, the wrong way": Connection(
        meter="Dunlin 60 C", jacks=(), dial="A DC", devices=(WHOLE,),
        coil=DrawnCoil(1, 0, "I LO", "I HI")),
    "clamp without jacks, one turn": Connection(meter="Dunlin 60 C", jacks=(), dial="A DC",
                                                devices=(WHOLE,),
                                                coil=DrawnCoil(1, 0, "I HI", "I LO")),
    "four terminals": Connection(meter="Dunlin 60", jacks=USUAL, dial="V DC", devices=(WHOLE,),
                                 leads=two("V", "COM")),
    "four terminals, the middle two": Connection(
        meter="Dunlin 60", jacks=USUAL, dial="Ω",
        devices=(Device("Razorbill", "box", ("I HI", "HI", "LO", "I LO")),),
        leads=two("V", "COM")),
    "long": Connection(meter=LONG, jacks=("10 A", "mA µA", "COM", "VΩHz", "°C", "Hz %"),
                       dial="low-impedance AC volts",
                       devices=(Device(LONG, "reference meter beside the same source",
                                       ("SENSE HI", "SENSE LO", "INPUT HI", "INPUT LO")),),
                       leads=two("VΩHz", "COM", "INPUT HI", "INPUT LO")),
    "long, in parallel": Connection(meter=LONG,
                                    jacks=("10 A", "mA µA", "COM", "VΩHz", "°C", "Hz %"),
                                    dial="low-impedance AC volts",
                                    devices=(
                                        Device(LONG, "multifunction source",
                                               ("OUTPUT +", "OUTPUT -")),
                                        Device(LONG, "reference meter", ("INPUT HI", "INPUT LO"))),
                                    leads=two("VΩHz", "COM", "INPUT HI", "INPUT LO", 1, 1),
                                    links=(Link(0, "OUTPUT +", 1, "INPUT HI", True),
                                           Link(0, "OUTPUT -", 1, "INPUT LO", False))),
    "long, in series": Connection(meter=LONG, jacks=("10 A", "mA µA", "COM", "VΩHz", "°C", "Hz %"),
                                  dial="mA DC",
                                  devices=(Device(LONG, "multifunction source",
                                                  ("OUTPUT +", "OUTPUT -", "HI", "LO")),
                                           Device(
                                               LONG, "reference meter", ("INPUT HI", "INPUT LO"))),
                                  leads=two("mA µA", "COM", "INPUT LO", "OUTPUT -", 1, 0),
                                  links=(Link(0, "OUTPUT +", 1, "INPUT HI", True),)),
    "long, thermocouple": Connection(meter=LONG,
                                     jacks=("VΩHz°C%x", "COMMON", "mA µA nA", "10 A max"),
                                     dial="temperature, type K",
                                     devices=(Device(LONG, "multifunction source",
                                                     ("OUTPUT +", "OUTPUT -", "I HI", "I LO")),),
                                     leads=two("VΩHz°C%x", "COMMON", "OUTPUT +", "OUTPUT -"),
                                     thermometer=LONG, thermometer_at="COMMON",
                                     note="copper leads, no plug of the thermocouple's own metals"),
    "long, clamp": Connection(meter=LONG, jacks=("COM", "VΩHz°C"), dial="A AC",
                              devices=(Device(LONG, "transconductance amplifier",
                                              ("OUTPUT +", "OUTPUT -")),),
                              coil=DrawnCoil(1000, 0, "OUTPUT +", "OUTPUT -")),
}
