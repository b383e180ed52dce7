"""A recipe as it stood at an earlier version, and what is different in a later one. Pure."""

from __future__ import annotations

from hobnote.asking.changes import changes
from hobnote.asking.conversation import Conversation


def at(talk: Conversation, version: int) -> Conversation:
    """The recipe as it stood at a version, to look at; raises KeyError for none such."""
    if not 1 <= version <= talk.version:
        raise KeyError(version)
    if version == talk.version:
        return talk
    return Conversation(
        talk.keeper,
        talk.id,
        talk.turns[:version],
        measures=talk.measures,
        warnings=talk.warnings,
        thresholds=talk.thresholds,
    )


def differences(before: Conversation, after: Conversation) -> list[str]:
    """What is different in ``after``, one line a change."""
    return changes(
        before.record, after.record, (before.rows, after.rows), (before.steps, after.steps)
    )
