"""Signatures: questions that a person has looked at and answered."""

from collections.abc import Sequence
from dataclasses import replace

from brinewright.checks.catalogue import CRITERIA
from brinewright.checks.finding import Finding
from brinewright.errors import InputError
from brinewright.model.loop import Signature


def with_signatures(questions: Sequence[Finding], signatures: Sequence[Signature]) -> tuple[Finding, ...]:
    """Return the questions, each with who answered it; of several signatures the last one counts.

    Raises
    ------
    InputError
        If a signature is given for what is no question.
    """
    asked = {criterion.code for criterion in CRITERIA if criterion.method == "question"}
    for signature in signatures:
        if signature.finding not in asked:
            raise InputError(
                f"{signature.finding} is signed by {signature.by}, and it is no question. "
                f'What a calculation finds is accepted with [[waiver]] finding = "{signature.finding}".'
            )
    by_code = {signature.finding: signature for signature in signatures}
    return tuple(
        replace(finding, signed=told(by_code[finding.code])) if finding.code in by_code else finding
        for finding in questions
    )


def told(signature: Signature) -> str:
    """Return a signature in words.

    Example
    -------
    >>> told(Signature(finding="BW-F71", by="Ida Fenn", on="2026-11-25", note="manway of 600 mm"))
    'Ida Fenn, 2026-11-25: manway of 600 mm'
    """
    return f"{signature.by}, {signature.on}" + (f": {signature.note}" if signature.note else "")
