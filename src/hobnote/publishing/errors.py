"""What publishing says when something cannot be published or read back."""

from __future__ import annotations

from hobnote.record import Flag, Record


class PublishingError(ValueError):
    """Something cannot be published or read back, as one clear sentence."""


class OpenQuestions(PublishingError):
    """Only settled recipes were wanted and this one has open questions.

    ``flags`` are the questions, dearest first.
    """

    def __init__(self, record: Record) -> None:
        self.flags: tuple[Flag, ...] = tuple(record.flags)
        count = len(self.flags)
        questions = "1 open question" if count == 1 else f"{count} open questions"
        super().__init__(
            f"{record.title or 'the recipe'} has {questions} and only settled recipes are wanted; "
            f"the first is: {self.flags[0].question}"
        )


def settled(record: Record) -> Record:
    """``record`` itself; raises :class:`OpenQuestions` where it has any."""
    if record.flags:
        raise OpenQuestions(record)
    return record
