"""What a lesson asks before it shows: a question with its answer closed below it, on paper at the
end of the lesson. Works without a script.

`{ask: …}` and, on the next line, `{answer: …}`; and the lines of an example that `given: 1` keeps
back."""

from __future__ import annotations

import re
from html import escape

ASK, ANSWER = "ask", "answer"

_ASKED = re.compile(r"\{ask: (.+)\}\s*$")
_ANSWERED = re.compile(r"\{answer: (.+)\}\s*$")
_CLOSED = re.compile(r'<details class="ask"><summary>(.*?)</summary><p>(.*?)</p></details>')


def closed(question: str, answer: str) -> str:
    """A question, and its answer behind it. Both are markup."""
    return f'<details class="ask"><summary>{question}</summary><p>{answer}</p></details>'


def closed_line(line: str) -> str:
    """A line of an example, closed behind what it works out."""
    asked = min((line.partition(sign)[0] for sign in (": ", " = ")), key=len)
    return closed(f"{escape(asked, quote=False)}?", escape(line, quote=False))


def asked(lines: list[str]) -> tuple[list[str], list[tuple[int, str]]]:
    """The lines with each question and its answer put together; and what is wrong, by the number
    of its line, from 1. The numbers in both are filled in already."""
    out, wrong = list(lines), []
    for n, line in enumerate(lines):
        question = _ASKED.match(line)
        answer = _ANSWERED.match(lines[n + 1]) if question and n + 1 < len(lines) else None
        if question and answer:
            out[n], out[n + 1] = closed(_markup(question[1]), _markup(answer[1])), ""
        elif question:
            wrong.append((n + 1, "a question has no answer on the next line"))
        elif line.startswith("{answer:") and not (n and _ASKED.match(lines[n - 1])):
            wrong.append((n + 1, "an answer has no question on the line before"))
    return out, wrong


def numbered(page: str) -> str:
    """A page with its questions numbered, and for paper the answers at its end."""
    answers: list[str] = []

    def put(match: re.Match) -> str:
        answers.append(match[2])
        return closed(f"<b>{len(answers)}</b> <span>{match[1]}</span>", match[2])

    page = _CLOSED.sub(put, page)
    if not answers:
        return page
    return (page + '\n<div class="answers-last" data-search-exclude>\n<p><b>Answers</b></p>\n<ol>\n'
            + "\n".join(f"<li>{answer}</li>" for answer in answers) + "\n</ol>\n</div>\n")


def _markup(text: str) -> str:
    """Text as markup: `*word*` is stressed, and a mark in the place of a number stays."""
    text = re.sub(r"&lt;(/?b)( class=\"fault\")?&gt;", r"<\1\2>", escape(text, quote=False))
    return re.sub(r"\*(\w[^*]*)\*", r"<em>\1</em>", text)
