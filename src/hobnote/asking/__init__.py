"""Asking: the conversation that settles a recipe.

    Conversation.start(note, store)     a new recipe; resume(store, id) an old one
    Conversation.say(text) -> Reply     an answer, a correction, a question, or more of the note
"""

from __future__ import annotations
