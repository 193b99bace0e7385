"""What meters say of the hull as a whole, each thing worked out once for a state of the book."""

from __future__ import annotations

from functools import cached_property

from inspect_tui.domain.book import Book
from inspect_tui.domain.reading_records import PotentialReading, Reading
from inspect_tui.engineering.electricity.circuit_hunt import Hunt
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.electricity.hunted import judge_hunt, newest_hunt
from inspect_tui.judgement.electricity.isolation import Tested, newest_test
from inspect_tui.judgement.electricity.meters import failing
from inspect_tui.judgement.electricity.protected import Free, PotentialJudged, history


class Electricity:
    """Potentials of the hull over time, the circuit hunt, the isolation test, and what fails its limits."""

    def __init__(self, book: Book) -> None:
        self._book = book

    @cached_property
    def history(self) -> tuple[tuple[PotentialReading, PotentialJudged | None], ...]:
        """All potentials at rest, oldest first; None where one could not be judged."""
        return tuple(history(self._book))

    @cached_property
    def free(self) -> Free | None:
        """The newest potential with no anode at work."""
        past = ((reading, judged) for reading, judged in reversed(self.history) if reading.without_anodes)
        return next((Free(judged.read, reading.when) for reading, judged in past if judged), None)

    @cached_property
    def at_work(self) -> tuple[PotentialReading, PotentialJudged] | None:
        """The newest potential with the anodes at work that could be judged."""
        past = reversed(self.history)
        return next(((reading, judged) for reading, judged in past if judged and not reading.without_anodes), None)

    @cached_property
    def hunt_readings(self) -> tuple[PotentialReading, ...]:
        """The readings of the newest hunt, in order."""
        return tuple(newest_hunt(self._book))

    @cached_property
    def _hunt(self) -> Hunt | str:
        try:
            return judge_hunt(self.hunt_readings)
        except CannotCalculate as error:
            return str(error)

    @property
    def hunt(self) -> Hunt | None:
        """What the newest hunt shows; None if there is none, or it cannot be judged."""
        return self._hunt if self.hunt_readings and isinstance(self._hunt, Hunt) else None

    @property
    def hunt_refused(self) -> str:
        """Why the newest hunt cannot be judged, in one sentence; empty if it can, or there is none."""
        return self._hunt if self.hunt_readings and isinstance(self._hunt, str) else ""

    @cached_property
    def hull_test(self) -> Tested | None:
        """The newest isolation test that says something."""
        return newest_test(self._book)

    @cached_property
    def failing(self) -> tuple[Reading, ...]:
        """What fails its limits and stands as no finding."""
        return tuple(failing(self._book))
