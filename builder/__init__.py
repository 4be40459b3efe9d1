"""Turns what a shop writes in procedures/ into verification procedures.

Like __main__.py, this file is read before anything is installed and by Pythons
too old to run the rest: standard library only, and nothing newer than Python 2.7.
"""

__version__ = "0.1.0"

COMMANDS = (
    # name, arguments, what it does
    ("build", "", "build the site into site/"),
    ("serve", "", "show the site on this machine and follow every change"),
    ("test", "[PYTEST ARGUMENTS]", "run the tests"),
    ("check", "[--format text|json]", "list every problem in procedures/"),
    ("limits", "METER FUNCTION VALUE [FREQUENCY]", "work out the acceptance limits of one point"),
    ("practice", "SEED [--answers]", "print a set of exercises made from the shop's meters"),
    ("draft", "METER STANDARD ...", "write a first plan for a meter"),
    ("blank", "PROCEDURE", "write an empty record to type readings from paper into"),
    ("report", "RECORD ... [--to DIR]", "write the reports of records as plain files"),
    ("export", "DIR", "write the pages into a folder for another site engine"),
    ("schema", "", "write the JSON Schemas of the file formats"),
)


def usage():
    rows = [((name + " " + arguments).strip(), text) for name, arguments, text in COMMANDS]
    width = max(len(row[0]) for row in rows)
    lines = ["usage: python3 -m builder COMMAND ...", ""]
    lines += ["  %-*s  %s" % (width, left, right) for left, right in rows]
    lines += ["", "The first start makes .venv beside the code and installs what it needs there."]
    return "\n".join(lines)
