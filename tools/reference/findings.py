"""The page of findings: every criterion that a loop is held against."""

import importlib

from brinewright.model.criterion import SEVERITIES, Criterion
from tools.reference.markdown import section, table

JUDGED_BY = {
    "structure": "how the parts are joined",
    "closed form": "closed form, without a run",
    "run": "the run of a day",
    "contingency": "something lost",
    "question": "a person, who looks and signs",
}
LAWS = {"both": "stylised and real", "stylised": "stylised", "real": "real"}

HEAD = """# Findings

`brinewright check LOOP` holds a loop against each criterion below. A code is given once and never to
another fault. Criteria that cannot occur under the laws or with the parts of a loop are left out and
counted. `--explain CODE` shows a formula with the numbers of a loop and says where each comes from.

- A finding that its owner accepts is waived in the loop file, with a reason and the margin at which that
  lapses: `[[waiver]] finding = "BW-F35"`, `reason = "…"`, `until = "margin below -10 %"`.
- A question is signed in the loop file by who has looked: `[[signature]] finding = "BW-F46"`, `by = "…"`,
  `on = "2026-11-25"`, `note = "…"`. Until then it is open; it is no finding.
- Margins that a loop may set for itself stand under `[margin]`.

"""


def pages() -> dict[str, str]:
    """Return the page of findings."""
    criteria: tuple[Criterion, ...] = importlib.import_module("brinewright.checks").CRITERIA
    rows = [
        (
            f"[{one.code}](#{one.code.lower()})",
            one.title,
            _severity(one),
            LAWS[one.world],
            JUDGED_BY[one.method],
        )
        for one in criteria
    ]
    listing = table(("code", "fault", "weight", "laws", "judged by"), rows)
    return {"findings.md": HEAD + listing + "\n" + "".join(_criterion(one) for one in criteria)}


def _severity(criterion: Criterion) -> str:
    return f"{criterion.severity}: {SEVERITIES[criterion.severity]}"


def _criterion(criterion: Criterion) -> str:
    asked = f"- Asked: {criterion.question}\n" if criterion.question else ""
    body = (
        f"**{criterion.title}.** {criterion.lesson}\n\n"
        f"- Weight: {_severity(criterion)}. Laws: {LAWS[criterion.world]}. "
        f"Judged by: {JUDGED_BY[criterion.method]}.\n"
        f"- Raised when: {_plain(criterion.formula)}.\n"
        f"{asked}"
        f"- If it stands: {criterion.consequence}\n"
        f"- Do: {criterion.remedy}\n"
        f"- Source: {criterion.source}.\n"
    )
    return section(criterion.code, body)


def _plain(text: str) -> str:
    """Return a formula in which no sign is taken for markup."""
    return text.replace("*", "\\*").replace("_", "\\_").replace("<", "&lt;")
