"""The sentences of the evidence, which are a part of all."""

from builder.procedure.evidence_sentences import EVIDENCE
from builder.procedure.sentences import SENTENCES, sentence, words


def test_each_is_said_by_its_code_and_by_no_other():
    """None hides another one of the same code, and none is empty."""
    assert all(SENTENCES[code] == text and text.strip() for code, text in EVIDENCE.items())
    assert len(SENTENCES) > len(EVIDENCE) > 20
    assert words(sentence("counts", number="2")) == "2 counts"
