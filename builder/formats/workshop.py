"""The workshop's own file: who writes the reports, and the day and the meters that its overview is
for."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from builder.formats.fields import Date, OneOrMore, Slug, Strict, Text


class Withdrawn(Strict):
    """A meter that isn't used any more: lost, scrapped or given away."""

    meter: Slug = Field(description="The meter's file.")
    serial: Text = Field(description="Its serial number.")
    because: Text = Field(description="Such as 'lost overboard on 2026-04-02'.")


class Authorised(Strict):
    """Somebody who may put their name to what stays."""

    name: Text = Field(description="As it stands under what is approved.")
    may: OneOrMore[Literal["approve", "finish", "review"]] = Field(
        description="'approve' sheets, 'finish' reports (and amend and withdraw them), 'review' "
        "the work of others.")


class Workshop(Strict):
    name: Text = Field(description="The workshop's name, at the head of each report.")
    address: OneOrMore[Text] = Field(description="Its address, a line an entry.")
    contact: Text | None = Field(None, description="A telephone number or a mail address.")
    as_of: Date | None = Field(None,
                               description="The day for which meters and standards are said to be "
                               "in service, due or overdue.")
    withdrawn: list[Withdrawn] = Field(default_factory=list,
                                       description="Meters that nobody has to verify any more.")
    authorised: list[Authorised] = Field(default_factory=list,
                                         description="Who may approve, finish and review. "
                                         "Without it any name will do.")
