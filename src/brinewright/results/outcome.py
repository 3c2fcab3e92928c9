"""How a run ended, with advice where it did not end as meant."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Outcome:
    """The end of a run: a name, and what to do about it.

    >>> DONE.is_done
    True
    >>> stopped("VE-301 ran dry", "Start with more water.").name
    'stopped: VE-301 ran dry'
    """

    name: str
    advice: str = ""

    @property
    def is_done(self) -> bool:
        """Return whether the run reached the time that was asked for."""
        return self.name == "done"


DONE = Outcome("done")
INTERRUPTED = Outcome(
    "interrupted",
    "The result holds everything up to the moment of interruption; run it again for the whole time.",
)


def stopped(why: str, advice: str = "") -> Outcome:
    """Return the outcome of a run that ended before its time, and why."""
    return Outcome(f"stopped: {why}", advice)
