"""The workshop's own file: who writes the reports."""

from __future__ import annotations

from pydantic import Field

from builder.model.base import Strict, Text, one_or_more


class Workshop(Strict):
    name: Text = Field(description="The workshop's name, at the head of each report.")
    address: one_or_more(Text) = Field(description="Its address, a line an entry.")
    contact: Text | None = Field(None, description="A telephone number or a mail address.")
