"""A certificate's values at points: what a standard really puts out or reads, and how sure that
is."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from builder.formats.accuracy import AccuracyField
from builder.formats.fields import Amount, Confirmed, PositiveAmount, Strict, not_empty
from builder.formats.stated import Change, DriftField, StatedField

DRIFT = Field(None, description="Drift since the certificate, taken as plain limits; 'included' "
              "where the uncertainty holds to the interval's end, or 'none, because …'.")


class CertifiedPoint(Strict):
    """One line of a certificate: one of 'actual', 'correction' and 'error'."""

    at: Amount = Field(description="What was set, or what it read, such as '10 V'; of a coil the "
                       "current in its wire.")
    frequency: PositiveAmount | None = Field(None, description="For AC, such as '1 kHz'.")
    actual: Amount | None = Field(None, description="What it really was, such as '10.00003 V'.")
    correction: Amount | None = Field(None, description="What to add to what is set or read, such "
                                      "as '30 uV'.")
    error: Amount | None = Field(None, description="By how much what is set or read is too large, "
                                 "such as '-30 uV'.")
    within: AccuracyField = Field(
        description="The certificate's uncertainty here, such as '2 ppm'.")
    stated: StatedField | None = Field(None, description="How it is stated, if not as the "
                                       "standard's others.")
    drift: DriftField | None = DRIFT
    confirmed: Confirmed = None

    def added(self, times: int = 1) -> Fraction:
        """What is to be added to `times` the value that was set; `times` are the turns of a
        coil."""
        if self.correction is not None:
            return self.correction.value
        if self.error is not None:
            return -self.error.value
        return (self.actual.value if self.actual else times * self.at.value) - times * self.at.value


class Corrections(Strict):
    use: Literal["applied", "stated"] = Field(
        description="'applied': the expected value moves by them; 'stated': they are a component "
        "of the budget. Never both.")
    between: Literal["straight line"] | None = Field(
        None, description="How values between two of the certificate are found; without it, only "
        "its own values are corrected.")
    between_within: AccuracyField | None = Field(
        None, description="How far a value between may be off that line, as plain limits.")
    drift: DriftField | None = DRIFT
    values: Annotated[list[CertifiedPoint], AfterValidator(not_empty)] = Field(
        description="'- {at: 10 V, actual: 10.00003 V, within: 20 uV}'.")

    def drift_at(self, point: CertifiedPoint) -> Change | None:
        return point.drift or self.drift


CorrectionsField = Annotated[Corrections | None, Field(
    description="What the certificate says at points, beside the accuracy of the rows.")]
