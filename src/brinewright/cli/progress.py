"""Long work shows how far it is, and Ctrl-C ends it at the next moment with what there is."""

import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress

PATIENCE = 2.0
"""How long work may take before it shows its progress [s]."""

LINES = 10.0
"""Time between two lines of progress where the output is no terminal [s]."""


class ProgressBar:
    """Progress on the error output: a bar on a terminal, a line now and then elsewhere."""

    def __init__(self, label: str, unit: str = "h", each: float = 3600.0) -> None:
        self._label = label
        self._unit, self._each = unit, each
        self._start = time.monotonic()
        self._told = self._start
        self._bar: Progress | None = None

    def __call__(self, simulated_s: float, total_s: float) -> None:
        """Show how much of the simulated time is done [s]."""
        now = time.monotonic()
        if now - self._start < PATIENCE:
            return
        if sys.stderr.isatty():
            self._draw(simulated_s, total_s)
        elif now - self._told > LINES:
            self._told = now
            print(f"{self._label}: {self._far(simulated_s, total_s)}", file=sys.stderr, flush=True)

    def close(self) -> None:
        """Take the bar away."""
        if self._bar is not None:
            self._bar.stop()

    def _far(self, done: float, total: float) -> str:
        digits = 1 if self._each > 1.0 else 0
        return f"{done / self._each:.{digits}f} of {total / self._each:.{digits}f} {self._unit}"

    def _draw(self, simulated_s: float, total_s: float) -> None:
        if self._bar is None:
            from rich.console import Console
            from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

            columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.fields[hours]}"))
            self._bar = Progress(
                *columns, TimeRemainingColumn(), console=Console(stderr=True), transient=True
            )
            self._bar.add_task(self._label, total=total_s, hours="")
            self._bar.start()
        hours = self._far(simulated_s, total_s)
        self._bar.update(self._bar.task_ids[0], completed=simulated_s, hours=hours)


@contextmanager
def progress(
    label: str, *, unit: str = "h", each: float = 3600.0
) -> Iterator[Callable[[float, float], None]]:
    """Give a function to call with what is done and the whole, simulated time [s] unless a unit is named."""
    bar = ProgressBar(label, unit, each)
    try:
        yield bar
    finally:
        bar.close()


@contextmanager
def ending_on_interrupt() -> Iterator[Callable[[], bool]]:
    """Give a function that tells whether Ctrl-C was pressed; a second one ends the program at once."""
    if threading.current_thread() is not threading.main_thread():
        yield lambda: False
        return
    asked = threading.Event()

    def note(_number: int, _frame: FrameType | None) -> None:
        if asked.is_set():
            raise KeyboardInterrupt
        asked.set()
        print("Ending here and keeping what there is; Ctrl-C again to drop it.", file=sys.stderr, flush=True)

    before = signal.signal(signal.SIGINT, note)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)
