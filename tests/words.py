"""What another word stands for here, with that word: one thing has one name on every page, in every
message and on paper. A pattern of small letters; where it may stand all the same, with the reason.
"""

from __future__ import annotations

GLOSSARY, THERMOCOUPLES = "site_src/glossary.md", "site_src/lessons/thermocouples.md"

# Of all texts, wherever they stand.
INSTEAD = {
    # what is verified, and with what
    "multimeters?": "meter", "dmms?": "meter", "duts?|uuts?": "meter", "gauges?": "meter",
    "calibrators?": "source",
    "measurement standards?": "standard", "test leads": "leads",
    "readouts?": "display", "lcd": "display", "knobs?|selectors?|rotary switch(es)?": "dial",
    "cold junction": "reference junction", "clamp meters?": "clamp-on meter",
    # limits and what they come from
    "exact limits?": "tolerance limits", "error limits?|limits of error": "tolerance limits",
    "guardband(ed|s)?": "guard band", "tolerance bands?": "tolerance",
    "accuracy of (the|a|its) (source|standard|reference meter|box)": "uncertainty of the standard",
    "specs?": "accuracy, or data sheet", "data-?sheets?(?<! )": "data sheet",
    "least significant digits?|lsd": "count", "test points?": "point",
    "measurement uncertaint(y|ies)": "uncertainty",
    "doubt(s|ed|ful|fully)?": "uncertainty; of a meter, suspect; of a file, warning",
    # a verdict is on one reading, or what a person ticks; a report states
    "verdicts? (of|about) (a|the|each|one) (report|function)s?": "statement",
    "verdicts? of (a|the|each) meters?": "statement",
    "(overall|report’s|report's) verdicts?": "statement",
    "statements? (on|of|about) (a|the|each|one|every) (reading|point)s?": "verdict",
    # what is done
    "check (a|the) meters?": "verify the meter", "calibrat(e|ed|ing) (a|the) meters?": "verify",
    "test sheets?|worksheets?|procedure sheets?": "sheet", "in work": "in progress",
    "(?<!double )click (on|here)": "tap, or choose",
    # plain English, spelt as in Britain
    r"e\.g\.": "for example", r"i\.e\.": "that is", "via": "by, or through", "etc": "and so on",
    "rms": "r.m.s.", "colors?|colored": "colour", "centers?|centered": "centre", "gray": "grey",
    "behaviors?": "behaviour", "labeled": "labelled", "canceled": "cancelled",
    "(?:as [^.,;:]{1,30} ha(?:s|ve) it)": "as … says", "governs?": "decides",
    "reckons? with": "allows",
}
# Of the texts of a sheet, which are read with a live meter beside.
ON_SHEETS = {"rests": "is steady", "prevented by": "… prevents …",
             "terminals of the meter": "jacks", "as far as": "up to"}

# Where such a word is right.
ALLOWED = {
    ("multimeters?", "README.md"): "says once what kind of meter",
    ("multimeters?", "builder/cli/__init__.py"): "says once what kind of meter",
    ("colors?|colored", "builder/pages/page_styles.py"): "a style",
    ("colors?|colored", "builder/pages/assets/header.js"): "a style",
    ("calibrators?", "builder/published/budgets.py"): "the name of a source's example",
    ("cold junction", GLOSSARY): "names what others call it",
    ("cold junction", THERMOCOUPLES): "names what others call it",
}
