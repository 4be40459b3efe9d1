"""The workshop's own file: who writes the reports, and the day that its overview is for."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from builder.formats.fields import Date, OneOrMore, Strict, Text


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
                               "in service, due or overdue, such as '2026-11-25'; 'serve' and "
                               "'build --as-of' take another.")
    authorised: list[Authorised] = Field(default_factory=list,
                                         description="Who may approve, finish and review. "
                                         "Without it any name will do.")
