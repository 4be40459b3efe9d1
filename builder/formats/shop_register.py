"""The register: every meter of a shop by its serial number, whether it has a report or not."""

from __future__ import annotations

from pydantic import Field

from builder.formats.fields import Date, Slug, Strict, Text


class RegisteredMeter(Strict):
    """A meter that the shop looks after, or once did."""

    serial: Text = Field(description="Its serial number, in quotation marks where it begins with "
                         "a 0, such as '\"0147\"'.")
    meter: Slug = Field(description="The meter's file, such as 'dunlin-60'.")
    asset: Text | None = Field(None, description="The owner's own number of it, such as 'E-4417'.")
    owner: Text | None = Field(None, description="Whom it belongs to, such as 'Deck department'.")
    contact: Text | None = Field(None, description="How to reach the owner: who, and where.")
    place: Text | None = Field(None, description="Where it is kept, such as 'ferry Grebe'.")
    since: Date | None = Field(None, description="The day since which it is in service, such as "
                               "'2023-11-20'.")
    withdrawn: Text | None = Field(None, description="Why nobody has to verify it any more, such "
                                   "as 'lost overboard on 2026-04-02'.")


class ShopRegister(Strict):
    meters: list[RegisteredMeter] = Field(description="A line a meter.")

    def of(self, meter: str, serial: str) -> RegisteredMeter | None:
        return next((one for one in self.meters if (one.meter, one.serial) == (meter, serial)),
                    None)
