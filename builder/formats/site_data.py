"""The data of a site as a whole: what it has pages of, so that the next build can tell what is
gone."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, StrictInt, StrictStr

from builder.formats.data_fields import Data

Names = tuple[StrictStr, ...]


class SiteData(Data):
    """data/site.json."""

    format: Literal[1]
    meters: Names = Field(description="Each has a page in meters/.")
    standards: Names = Field(description="Each has a page in standards/.")
    procedures: Names = Field(description="Each has a page in procedures/.")
    reports: Names = Field(description="Each has a page in reports/.")
    missing: Names = Field(description="Pages that only say why something is missing.")
    errors: StrictInt = Field(description="In the files that the site was made from.")
    warnings: StrictInt
