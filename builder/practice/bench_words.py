"""What the bench on the page says: its tasks, and what goes wrong there. Only what would hold at a
real bench, too."""

from __future__ import annotations

from builder.practice.mistake_words import DIGITS, HABITS, LEADS, LIMITS, ROUND, SAVES_FUSES

HEAT = ("fuses-and-heat", "heat")

# The tasks, by the codes that a device remembers them by without the "bench-" before them.
TASKS = {
    "read": "Read a value",
    "point": "Measure a point and judge it",
    "group": "A whole group of the sheet",
    "sheet": "A whole sheet, as far as this bench can do it",
    "fault": "Find the fault",
    "share": "What was there before the meter?",
    "free": "Try what you like"}

# Of each event: the paragraph to read, what it is called, what happened, and what would have saved
# it. Facts in braces.
EVENTS = {
    "hand-live": (
        ROUND,
        "a hand on a live lead",
        "You had a hand on a lead while {v} stood at its terminals. That can kill. The run ends "
        "here.",
        "Source to zero, then to standby. See the meter near zero. Only then touch a lead."),
    "hand-falling": (
        ROUND,
        "a hand on a lead right after standby",
        "You had a hand on a lead just after standby: {v} had not yet gone. That can kill. The run "
        "ends here.",
        "Standby is not yet leave to touch. Wait until the meter that read the live value is near "
        "zero."),
    "hand-stuck": (
        ROUND,
        "standby believed, the display not looked at",
        "The source showed standby, but its output had stayed on: {v} stood at the lead that you "
        "touched. That can kill. The run ends here.",
        "The display told it: it was not near zero. Hands stay off, and the source goes off at its "
        "mains switch."),
    "hand-unseen": (
        ("near-zero", "why-this-meters-reading-counts"),
        "a lead moved before near zero was seen",
        "You moved a lead before a meter that had read the live value was seen near zero. This "
        "time the output was off.",
        "Look at the display after standby, each time. If it cannot tell, use a second instrument "
        "that was proved before and is proved after."),
    "hand-on": (
        ROUND,
        "a lead moved while the output was on",
        "The output was on while you moved a lead. At {v} nothing happened.",
        "Standby before hands, also where it is harmless: the habit saves you at the next "
        "voltage."),
    "fuse": (
        SAVES_FUSES,
        "a voltage on the current jacks",
        "{v} met almost no resistance between {jack} and {low}. The fuse burned ({rating}).",
        "Follow the leads from the source to the jacks before the output goes on. A voltage "
        "belongs at {volts}. Here it was a fuse. Many sources limit the current and switch off. A "
        "mains circuit does not: it can end in an arc."),
    "fuse-current": (
        SAVES_FUSES,
        "more current than the fuse bears",
        "{v} is more than the fuse of {jack} bears ({rating}). It burned.",
        "Compare the current with the jack before the output goes on; larger currents have a jack "
        "of their own."),
    "no-fuse": (
        SAVES_FUSES,
        "a voltage on a current jack without a fuse",
        "{v} met almost no resistance between {jack} and {low}, and the meter’s file names no fuse "
        "there. The meter is damaged, and such a fault can burn the person beside it. The run ends "
        "here.",
        "Follow the leads from the source to the jacks before the output goes on."),
    "over": (
        ("categories", "at-the-bench"),
        "more than the meter is rated for",
        "{v} is more than this meter bears here: {limit}. It may be damaged, and it can no longer "
        "be trusted. The run ends here.",
        "Read the rating before the value is set. The lowest rating in the chain of source, leads "
        "and meter decides."),
    "ohms": (
        LEADS,
        "a hazardous voltage in resistance or capacitance",
        "{v} came to the meter while the dial stood at {dial}. Its protection may have carried it, "
        "or not: it can no longer be trusted. The run ends here.",
        "Dial before output: the dial is set and seen in standby."),
    "ohms-low": (
        LEADS,
        "a voltage in resistance or capacitance",
        "{v} came to the meter while the dial stood at {dial}. The reading means nothing.",
        "Dial before output: at a higher voltage the meter might not survive it."),
    "key-live": (
        ("points", "no-key-under-voltage"),
        "a key pressed under voltage",
        "You turned or pressed something on the meter while {v} stood at its terminals.",
        "No key under voltage: dial and range are set in standby and seen on the display."),
    "drive": (
        ("ratio", "good-enough-today"),
        "more than the source drives",
        "The source cannot drive this: {v} into {load} needs more than it gives. It went to "
        "standby.",
        "Compare what the source drives with the meter’s input, before the output goes on."),
    "no-way": (
        ("current", "in-the-line-not-across"),
        "a current on the voltage jacks",
        "The current found no way: {jack} lets almost none through. The source ran into its "
        "highest voltage and went to standby.",
        "A current belongs at a current jack. The leads are followed before the output goes on."),
    "not-so": (
        HABITS,
        "ticked what was not so",
        "You ticked “{step}”, but it was not so: {why}.",
        "Look first, then tick."),
    "other-setting": (
        LIMITS,
        "a reading of another setting",
        "A reading was to be written that was not of this row: {why}.",
        "Compare value, range and jacks with the row before you write."),
    "misread": (
        DIGITS,
        "a reading that was not shown",
        "What was written is not what the display showed.",
        "Read the display twice, digit by digit, with its unit."),
    "verdict": (
        LIMITS,
        "a wrong verdict",
        "{reading} was judged wrongly: {limits} is accepted, both ends included.",
        "Compare with both limits, with sign, digit by digit."),
    "wrong-fault": (
        ("failed-point", "is-it-the-bench"),
        "another fault named",
        "The fault was another one: {fault}.",
        "Each point halves what is left: choose the one that half of what is left would spoil."),
    "too-long": (
        HEAT, "a current left on too long",
        "{range} may be on for at most {on}. It was on for longer: what carries the current inside "
        "overheats, and the reading creeps. The source went to standby.",
        "Read as soon as the display is steady, write, and go to standby."),
    "no-pause": (
        HEAT, "a current without its pause",
        "{range} wants {off} of pause, and it was on again before that. What carries the "
        "current was still hot. The source went to standby.",
        "A pause is a step of the order: its end is written down before the output goes on."),
    "lost-share": (
        ("loading", ""), "the meter’s share not put back",
        "Without the meter it was {before}. {ohms} lay in the way, and the input of the meter is "
        "{inside}: the two share the voltage.",
        "The share that is lost is what lies in the way, divided by that and the input together.")}

# What a device remembers of this bench: its kinds and its mistakes, each with its name.
REMEMBERED = {f"bench-{code}": f"At the bench: {title[:1].lower()}{title[1:]}"
              for code, title in TASKS.items() if code != "free"}
SLIPS = {f"bench-{code}": (name, paragraph) for code, (paragraph, name, _, _) in EVENTS.items()}
