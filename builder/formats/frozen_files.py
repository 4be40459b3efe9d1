"""What procedures/approved/ and procedures/finished/ hold: written once by the builder, read for
ever. Each file has a hash over its content, and names the hashes of those before it."""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args

from pydantic import Field, StrictInt, StrictStr, ValidationError, model_validator

from builder.files import hashed
from builder.files.problems import Problem, Wrong
from builder.formats.data_fields import Data, Day, Hash, Slug
from builder.formats.report_data import ReportData
from builder.formats.sheet_data import SheetData
from builder.formats.sheet_text import SheetText

Sha256 = Annotated[StrictStr, Field(json_schema_extra={"pattern": "^[0-9a-f]{64}$"})]
Lines = Annotated[tuple[StrictStr, ...], Field(description="A text, line by line.")]
Positive = Annotated[StrictInt, Field(ge=1)]


class FrozenData(Data):
    """What all of them have."""

    format: Literal[1]
    written_by: StrictStr = Field(description="The version of the builder.")
    by: StrictStr = Field(description="The name that was typed; it authorises nothing by itself.")
    on: Day
    before: tuple[Sha256, ...] = Field(
        description="The hashes of the files of this folder that no other named yet: several where "
        "two people wrote at a time.")


class ApprovedSheet(FrozenData):
    """A sheet that somebody approved: what is printed, and what its records are judged by."""

    kind: Literal["approved sheet"]
    procedure: Slug
    revision: Hash
    number: Positive = Field(description="Of the revision, counted from 1; shown before its hash.")
    turn: Positive = Field(description="Of this file among all that were decided about the "
                           "procedure; the last one counts.")
    changes: tuple[StrictStr, ...] = Field(
        description="What it changes in the one that was approved before, in words.")
    sheet: SheetData
    page: SheetText = Field(description="All that its pages show.")
    made_from: dict[str, Lines] = Field(description="The files of the shop that it was computed "
                                        "from, by name.")

    @model_validator(mode="after")
    def _is_its_sheet(self) -> ApprovedSheet:
        if (self.sheet.procedure, self.sheet.revision) != (self.procedure, self.revision):
            raise Wrong("the sheet inside is another procedure's or another revision's")
        return self

    @property
    def stem(self) -> str:
        return f"{self.procedure}-{self.revision}"

    @property
    def shown(self) -> str:
        """The revision as pages name it."""
        return f"revision {self.number}, {self.revision}"


class WithdrawnSheet(FrozenData):
    """That a revision is out of use."""

    kind: Literal["withdrawn sheet"]
    procedure: Slug
    revision: Hash
    turn: Positive
    because: StrictStr
    told: StrictStr = Field(description="Who was told.")

    @property
    def stem(self) -> str:
        return f"{self.procedure}-{self.revision}.withdrawn"


class CertificateUsed(Data):
    standard: StrictStr
    number: StrictStr = ""
    certificate: StrictStr
    due: StrictStr
    calibrated: StrictStr = ""
    issuer: StrictStr = ""
    accreditation: StrictStr = ""


class FinishedReport(FrozenData):
    """A report as it was issued."""

    kind: Literal["finished report"]
    number: Slug
    issue: Positive
    because: StrictStr = Field("", description="Of an amendment: why it replaces the issue before.")
    changes: tuple[StrictStr, ...] = Field((), description="Of an amendment: what it changes in "
                                           "the issue before, in words.")
    together: dict[Slug, Hash] = Field(
        default_factory=dict, description="The reports of the other states that it names, and the "
        "fingerprints of their records then.")
    fingerprint: Hash = Field(description="Of the record, and of what it was judged by.")
    sheet: Sha256 | None = Field(description="The approved sheet, by its hash; null where the "
                                 "sheet had not been approved.")
    certificates: tuple[CertificateUsed, ...]
    report: ReportData
    title: StrictStr
    running: StrictStr = Field(description="What stands at the foot of each printed page.")
    headline: StrictStr
    meter_name: StrictStr
    body: Lines = Field(description="The page below its title, every sentence as on that day.")
    record_file: StrictStr = Field(description="The name of the record's file.")
    record: Lines = Field(description="What stood in it.")
    judged_by: SheetData | None = Field(description="The data that it was judged by, where no "
                                        "approved sheet holds them.")

    @model_validator(mode="after")
    def _is_its_report(self) -> FinishedReport:
        if (self.report.number, self.report.issue) != (self.number, self.issue):
            raise Wrong("the report inside has another number or another issue")
        if (self.sheet is None) == (self.judged_by is None):
            raise Wrong("a report names its approved sheet, or holds what it was judged by")
        if (self.issue > 1) != bool(self.because):
            raise Wrong("an amendment says why, and no first issue does")
        if any("<script" in line.lower() for line in self.body):
            raise Wrong("a report holds no script")
        return self

    @property
    def stem(self) -> str:
        return f"{self.number}.{self.issue}"

    @property
    def text(self) -> str:
        """The body as pages have it."""
        return "\n".join(self.body)


class WithdrawnReport(FrozenData):
    """That an issue of a report is out of use."""

    kind: Literal["withdrawn report"]
    number: Slug
    issue: Positive
    because: StrictStr
    told: StrictStr = Field(description="Who was told.")

    @property
    def stem(self) -> str:
        return f"{self.number}.{self.issue}.withdrawn"


def kind_name(model: type[FrozenData]) -> str:
    """As it stands in a file."""
    return get_args(model.model_fields["kind"].annotation)[0]


KINDS: dict[str, type[FrozenData]] = {
    kind_name(model): model
    for model in (ApprovedSheet, WithdrawnSheet, FinishedReport, WithdrawnReport)}


def frozen(data: dict[str, Any], kinds: tuple[type[FrozenData], ...], shown: str,
           text: str) -> tuple[FrozenData | None, list[Problem]]:
    """The content of a file whose hash holds, as one of `kinds`, or its problem."""
    def wrong(path: tuple, sentence: str) -> tuple[None, list[Problem]]:
        return None, [hashed.problem(shown, text, path, "frozen-content", sentence,
                                     "was it written by a later version of the builder, or by "
                                     "hand?")]

    kind = KINDS.get(str(data.get("kind")))
    if kind not in kinds:
        return wrong(("kind",), f"'{str(data.get('kind'))[:40]}' is nothing that this folder "
                                "holds")
    try:
        return kind.model_validate(data), []
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        own = first.get("ctx", {}).get("error")
        where = ".".join(map(str, first["loc"])) or "the file"
        return wrong(first["loc"], own.sentence if isinstance(own, Wrong) else
                     f"{where}: it is missing" if first["type"] == "missing"
                     else f"{where}: it isn't what stands there in such a file")
