"""What the bench on the page says: its tasks, and what goes wrong there. Only what would hold at a
real bench, too."""

from __future__ import annotations

# The tasks, by the codes that a device remembers them by without the "bench-" before them.
TASKS = {
    "read": "Read a value",
    "point": "Measure a point and judge it",
    "group": "A whole group of the sheet",
    "fault": "Find the fault",
    "free": "Try what you like"}

# Of each event: what it is called, what happened, and what would have saved it. Facts in braces.
EVENTS = {
    "hand-live": (
        "a hand on a live lead",
        "You had a hand on a lead while {v} stood at its terminals. That can kill. The run ends "
        "here.",
        "Source to zero, then to standby. See the meter near zero. Only then touch a lead."),
    "hand-falling": (
        "a hand on a lead right after standby",
        "You had a hand on a lead just after standby: {v} had not yet gone. That can kill. The run "
        "ends here.",
        "Standby is not yet leave to touch. Wait until the meter that read the live value is near "
        "zero."),
    "hand-stuck": (
        "standby believed, the display not looked at",
        "The source showed standby, but its output had stayed on: {v} stood at the lead that you "
        "touched. That can kill. The run ends here.",
        "The display told it: it was not near zero. Hands stay off, and the source goes off at its "
        "mains switch."),
    "hand-unseen": (
        "a lead moved before near zero was seen",
        "You moved a lead before a meter that had read the live value was seen near zero. This "
        "time the output was off.",
        "Look at the display after standby, each time. If it cannot tell, use a second instrument "
        "that was proved before and is proved after."),
    "hand-on": (
        "a lead moved while the output was on",
        "The output was on while you moved a lead. At {v} nothing happened.",
        "Standby before hands, also where it is harmless: the habit saves you at the next "
        "voltage."),
    "fuse": (
        "a voltage on the current jacks",
        "{v} met almost no resistance between {jack} and {low}. The fuse burned ({rating}).",
        "Follow the leads from the source to the jacks before the output goes on. A voltage "
        "belongs at {volts}. Here it was a fuse. Many sources limit the current and switch off. A "
        "mains circuit does not: it can end in an arc."),
    "fuse-current": (
        "more current than the fuse bears",
        "{v} is more than the fuse of {jack} bears ({rating}). It burned.",
        "Compare the current with the jack before the output goes on; larger currents have a jack "
        "of their own."),
    "no-fuse": (
        "a voltage on a current jack without a fuse",
        "{v} met almost no resistance between {jack} and {low}, and the meter’s file names no fuse "
        "there. The meter is damaged, and such a fault can burn the person beside it. The run ends "
        "here.",
        "Follow the leads from the source to the jacks before the output goes on."),
    "over": (
        "more than the meter is rated for",
        "{v} is more than this meter bears here: {limit}. It may be damaged, and it can no longer "
        "be trusted. The run ends here.",
        "Read the rating before the value is set. The lowest rating in the chain of source, leads "
        "and meter decides."),
    "ohms": (
        "a hazardous voltage in resistance or capacitance",
        "{v} came to the meter while the dial stood at {dial}. Its protection may have carried it, "
        "or not: it can no longer be trusted. The run ends here.",
        "Dial before output: the dial is set and seen in standby."),
    "ohms-low": (
        "a voltage in resistance or capacitance",
        "{v} came to the meter while the dial stood at {dial}. The reading means nothing.",
        "Dial before output: at a higher voltage the meter might not survive it."),
    "key-live": (
        "a key pressed under voltage",
        "You turned or pressed something on the meter while {v} stood at its terminals.",
        "No key under voltage: dial and range are set in standby and seen on the display."),
    "drive": (
        "more than the source drives",
        "The source cannot drive this: {v} into {load} needs more than it gives. It went to "
        "standby.",
        "Compare what the source drives with the meter’s input, before the output goes on."),
    "no-way": (
        "a current on the voltage jacks",
        "The current found no way: {jack} lets almost none through. The source ran into its "
        "highest voltage and went to standby.",
        "A current belongs at a current jack. The leads are followed before the output goes on."),
    "not-so": (
        "ticked what was not so",
        "You ticked “{step}”, but it was not so: {why}.",
        "Look first, then tick."),
    "other-setting": (
        "a reading of another setting",
        "A reading was to be written that was not of this row: {why}.",
        "Compare value, range and jacks with the row before you write."),
    "misread": (
        "a reading that was not shown",
        "What was written is not what the display showed.",
        "Read the display twice, digit by digit, with its unit."),
    "verdict": (
        "a wrong verdict",
        "{reading} was judged wrongly: {limits} is accepted, both ends included.",
        "Compare with both limits, with sign, digit by digit."),
    "wrong-fault": (
        "another fault named",
        "The fault was another one: {fault}.",
        "Each point halves what is left: choose the one that half of what is left would spoil.")}

# What a device remembers of this bench: its kinds and its mistakes, each with its name.
REMEMBERED = {f"bench-{code}": f"At the bench: {title[:1].lower()}{title[1:]}"
              for code, title in TASKS.items() if code != "free"}
MISTAKES = {f"bench-{code}": name for code, (name, _, _) in EVENTS.items()}
