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
    "voltage": Connection("Dunlin 60", USUAL, "V DC", (FULMAR,), two("V", "COM")),
    "voltage, three jacks": Connection("Dunlin 60", ("10 A", "COM", "V"), "V DC", (FULMAR,), two("V", "COM")),
    "voltage, V first": Connection("Dunlin 60", ("V", "COM"), "V AC", (FULMAR,), two("V", "COM")),
    "voltage, two units at a jack": Connection("Whimbrel 200", ("A", "mA µA", "COM", "V Ω"), "V AC LoZ", (FULMAR,), two("V Ω", "COM")),
    "voltage, jacks between": Connection("Dunlin 60", ("COM", "mA", "10 A", "V"), None, (FULMAR,), two("V", "COM")),
    "current, mA": Connection("Dunlin 60", USUAL, "mA DC", (WHOLE,), two("mA", "COM", "I HI", "I LO")),
    "current, 10 A": Connection("Dunlin 60", USUAL, "A DC", (Device("Fulmar", "source", ("I HI", "I LO")),), two("10 A", "COM", "I HI", "I LO")),
    "current, A beyond V": Connection("Dunlin 60", ("V", "COM", "mA", "A"), "A AC", (WHOLE,), two("A", "COM", "I HI", "I LO")),
    "resistors": Connection("Dunlin 60", USUAL, "Ω", (RAZORBILL,), two("V", "COM", "1", "2")),
    "capacitors": Connection("Whimbrel 200", ("A", "mA µA", "COM", "V Ω"), "capacitor symbol", (TURNSTONE,), two("V Ω", "COM", "H", "L")),
    "together": Connection("Dunlin 60", USUAL, "Ω", leads=ends("V", "COM"), together=True),
    "apart": Connection("Dunlin 60", ("V", "COM", "mA", "10 A"), "capacitor symbol", leads=ends("V", "COM")),
    "voltage compared": Connection("Dunlin 60", USUAL, "V DC", (FULMAR, GANNET), two("V", "COM", high_at=1, low_at=1), PARALLEL),
    "capacitor compared": Connection("Dunlin 60", ("V", "COM", "A"), "capacitor symbol", (TURNSTONE, GANNET), two("V", "COM", "H", "L"),
                                     (Link(0, "H", 1, "HI", True), Link(0, "L", 1, "LO", False))),
    "current compared": Connection("Dunlin 60", USUAL, "mA DC", (Device("Fulmar", "source", ("I HI", "I LO")), GANNET),
                                   two("mA", "COM", "LO", "I LO", 1, 0), (Link(0, "I HI", 1, "HI", True),)),
    "current compared, A last": Connection("Dunlin 60", ("V", "COM", "mA", "A"), "A DC", (WHOLE, Device("Gannet", "reference meter", ("HI", "LO", "A"))),
                                           two("A", "COM", "LO", "I LO", 1, 0), (Link(0, "I HI", 1, "A", True),)),
    "thermocouple": Connection("Dunlin 60", ("10 A", "mA", "COM", "V °C"), "°C", (FULMAR,), two("V °C", "COM"), thermometer="Siskin thermometer",
                               note="copper leads"),
    "thermocouple, first jacks": Connection("Dunlin 60", ("V", "COM"), "°C", (WHOLE,), two("V", "COM"), thermometer="Siskin"),
    "clamp": Connection("Dunlin 60 C", ("COM", "V Ω"), "A AC", (Device("Fulmar", "source", ("I HI", "I LO")),), coil=DrawnCoil(50, 0, "I HI", "I LO")),
    "clamp without jacks, one turn": Connection("Dunlin 60 C", (), "A DC", (WHOLE,), coil=DrawnCoil(1, 0, "I HI", "I LO")),
    "four terminals": Connection("Dunlin 60", USUAL, "V DC", (WHOLE,), two("V", "COM")),
    "four terminals, the middle two": Connection("Dunlin 60", USUAL, "Ω", (Device("Razorbill", "box", ("I HI", "HI", "LO", "I LO")),), two("V", "COM")),
    "long": Connection(LONG, ("10 A", "mA µA", "COM", "VΩHz", "°C", "Hz %"), "low-impedance AC volts",
                       (Device(LONG, "reference meter beside the same source", ("SENSE HI", "SENSE LO", "INPUT HI", "INPUT LO")),),
                       two("VΩHz", "COM", "INPUT HI", "INPUT LO")),
    "long, in parallel": Connection(LONG, ("10 A", "mA µA", "COM", "VΩHz", "°C", "Hz %"), "low-impedance AC volts",
                                    (Device(LONG, "multifunction source", ("OUTPUT +", "OUTPUT -")), Device(LONG, "reference meter", ("INPUT HI", "INPUT LO"))),
                                    two("VΩHz", "COM", "INPUT HI", "INPUT LO", 1, 1),
                                    (Link(0, "OUTPUT +", 1, "INPUT HI", True), Link(0, "OUTPUT -", 1, "INPUT LO", False))),
    "long, in series": Connection(LONG, ("10 A", "mA µA", "COM", "VΩHz", "°C", "Hz %"), "mA DC",
                                  (Device(LONG, "multifunction source", ("OUTPUT +", "OUTPUT -", "HI", "LO")), Device(LONG, "reference meter", ("INPUT HI", "INPUT LO"))),
                                  two("mA µA", "COM", "INPUT LO", "OUTPUT -", 1, 0), (Link(0, "OUTPUT +", 1, "INPUT HI", True),)),
    "long, thermocouple": Connection(LONG, ("VΩHz°C%x", "COMMON", "mA µA nA", "10 A max"), "temperature, type K",
                                     (Device(LONG, "multifunction source", ("OUTPUT +", "OUTPUT -", "I HI", "I LO")),), two("VΩHz°C%x", "COMMON", "OUTPUT +", "OUTPUT -"),
                                     thermometer=LONG, note="copper leads, no plug of the thermocouple's own metals"),
    "long, clamp": Connection(LONG, ("COM", "VΩHz°C"), "A AC", (Device(LONG, "transconductance amplifier", ("OUTPUT +", "OUTPUT -")),),
                              coil=DrawnCoil(1000, 0, "OUTPUT +", "OUTPUT -")),
}
