"""How a sheet speaks to readers whose first language is another: short sentences, no contractions,
no pronoun without its noun, one word for one thing; warnings hold no action."""

import re

import pytest

from builder.formats.bench_checks import CHECKS
from builder.pages.page_text import HERE
from builder.procedure.cautions import CAUTIONS
from builder.procedure.evidence_sentences import EVIDENCE
from builder.procedure.sentences import SENTENCES
from builder.procedure.stop_words import STOPS
from tests.words import INSTEAD, ON_SHEETS

MOST = 20   # words


def of_template() -> dict[str, str]:
    """What the sheet's page itself says before the groups, without marks and tags."""
    text = (HERE / "templates/procedure.md.j2").read_text(encoding="utf-8")
    head = text[text.index('<div class="says">'):text.index("{% for g in procedure.groups %}")]
    said = re.sub(r"\{##\}\n", "", head)
    said = re.sub(r"\{%.*?%\}", " ", said, flags=re.S)
    said = re.sub(r"\{\{.*?\}\}", "X", said, flags=re.S)
    parts = re.split(r"</?(?:li|p|td|div|label)\b[^>]*>", said)
    parts = [re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", part)).strip() for part in parts]
    return {f"page: {part[:40]}": part for part in parts if part}


def texts() -> dict[str, str]:
    found = {code: said for code, said in SENTENCES.items() if code not in EVIDENCE}
    found |= {f"caution {code}: hazard": said[1] for code, said in CAUTIONS.items()}
    found |= {f"caution {code}": said[2] for code, said in CAUTIONS.items()}
    found |= {f"hold {code}": said for code, said in STOPS.items()}
    for check in CHECKS.values():
        found |= {f"check {check.name}, {part}": getattr(check, part)
                  for part in ("do", "good", "mistake", "write")}
    return found | of_template()


def sentences(text: str) -> list[str]:
    """A fact counts as one word."""
    return re.split(r"[.;:!?](?:\s+|$|(?=\{))", re.sub(r"(?<=[.])\{\w+\}", " ", re.sub(
        r"(?<![.])\{[^}]*\}", "X", text)))


TEXTS = texts()


def test_all_of_them_are_looked_at():
    assert len(TEXTS) > 250 and sum(code.startswith("page: ") for code in TEXTS) >= 15


@pytest.mark.parametrize("code", TEXTS)
def test_a_sentence_is_short_and_plain(code):
    """At most twenty words; spelled out; it begins with what it is about."""
    for one in sentences(TEXTS[code]):
        assert len(one.split()) <= MOST, one
        assert not re.search(r"n[’']t\b|\b(it|that|there|what|who|let)[’']s\b|[’'](re|ll|ve|d)\b",
                             one, re.I), one
        assert not re.match(r"\s*(it|they)\b|\s*(this|that|these|those) (is|are|was|has|have|can|"
                            r"may|must|needs?|holds?|rests?|burns?|hurts?)\b", one, re.I), one


@pytest.mark.parametrize("code", TEXTS)
def test_one_thing_has_one_word(code):
    said = re.sub(r"\{[^}]*\}", "", TEXTS[code])
    for wrong, right in (INSTEAD | ON_SHEETS).items():
        assert not re.search(rf"\b(?:{wrong})(?!\w)", said, re.I), f"{wrong}: say {right}"


@pytest.mark.parametrize("code", CAUTIONS)
def test_a_warning_holds_no_action(code):
    """It says the hazard, what it does and what prevents it; no sentence of it tells to do
    something."""
    _, hazard, rest = CAUTIONS[code]
    assert not re.search(r"(?:^|[.;] )(?:Do|Never|Keep|Use|Set|Pull|Switch|Go|Check|Wait|Make|Put|"
                         r"Discharge|Measure|Touch|Read|Stop|Close|Open)\b", f"{hazard} {rest}")
    assert "prevent" in rest or code in ("on-for", "on-and-off")


@pytest.mark.parametrize("check", CHECKS)
def test_a_check_is_done_in_the_imperative(check):
    """Each of its actions begins with a verb."""
    for action in CHECKS[check].do.split("; "):
        assert re.match(r"[A-Za-z]+\b", action) and not re.match(
            r"(The|A|An|It|Is|Are|Was|There|Meter|Leads?|Each|Every)\b", action, re.I), action
