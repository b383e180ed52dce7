"""Tokens for the service: made once, shown once, kept as digests, revoked by name."""

from __future__ import annotations

import hashlib
import re
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

from sqlalchemy import Engine, insert, select, update
from sqlalchemy.exc import IntegrityError

from hobnote.keeping.engine import open_engine, reading, writing
from hobnote.keeping.errors import KeepingError
from hobnote.keeping.faults import Unreadable
from hobnote.keeping.migrate import migrate
from hobnote.keeping.schema import tokens

Scope = Literal["read", "write"]
PREFIX = "hob_"
_NAME = re.compile(r"[\w .@-]{1,100}")


@dataclass(frozen=True, slots=True)
class Token:
    """What is known of a token; the secret is not. Times are UTC."""

    id: int
    name: str
    scope: Scope
    created: datetime
    revoked: datetime | None


class Tokens:
    """The tokens of a database."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        migrate(engine)

    @classmethod
    def open(cls, url: str | None = None) -> Tokens:
        """The tokens at ``url`` (default: ``HOBNOTE_DATABASE``, else the user's data folder)."""
        return cls(open_engine(url))

    def close(self) -> None:
        """Let go of the connections."""
        self.engine.dispose()

    def create(self, name: str, scope: Scope) -> str:
        """A new token's secret, which nobody can look up later.

        Raises KeepingError where the name is taken or is no name.
        """
        if not _NAME.fullmatch(name):
            raise KeepingError("a token's name is 1 to 100 letters, digits, spaces or . @ - _.")
        # 256 bits from the system: a plain digest of it cannot be guessed back.
        secret = PREFIX + secrets.token_urlsafe(32)
        now = datetime.now(UTC).isoformat(timespec="seconds")
        try:
            with writing(self.engine) as connection:
                connection.execute(
                    insert(tokens).values(
                        name=name, scope=scope, digest=digest(secret), created=now
                    )
                )
        except IntegrityError:
            raise KeepingError(f"there is a token called '{name}' already; choose another name.") \
                from None
        return secret

    def list(self) -> list[Token]:
        """Every token, revoked ones too, the oldest first."""
        with reading(self.engine) as connection:
            return [_token(row) for row in connection.execute(select(tokens).order_by(tokens.c.id))]

    def revoke(self, name: str) -> None:
        """From now on the token is refused. Raises KeepingError where there is none."""
        now = datetime.now(UTC).isoformat(timespec="seconds")
        with writing(self.engine) as connection:
            gone = connection.execute(
                update(tokens)
                .where(tokens.c.name == name, tokens.c.revoked.is_(None))
                .values(revoked=now)
            )
        if gone.rowcount == 0:
            raise KeepingError(f"there is no token '{name}' that could be revoked.")

    def any(self) -> bool:
        """Whether some token is good."""
        with reading(self.engine) as connection:
            query = select(tokens.c.id).where(tokens.c.revoked.is_(None)).limit(1)
            return connection.execute(query).first() is not None

    def find(self, secret: str) -> Token | None:
        """The good token with this secret; None for any other string."""
        if not secret.startswith(PREFIX) or not secret.isascii():
            return None
        with reading(self.engine) as connection:
            row = connection.execute(
                select(tokens).where(
                    tokens.c.digest == digest(secret), tokens.c.revoked.is_(None)
                )
            ).first()
            return None if row is None else _token(row)


def digest(secret: str) -> str:
    """What is kept of a secret."""
    return hashlib.sha256(secret.encode()).hexdigest()


def _token(row: Any) -> Token:
    try:
        return Token(
            id=row.id,
            name=row.name,
            scope=row.scope,
            created=datetime.fromisoformat(row.created),
            revoked=datetime.fromisoformat(row.revoked) if row.revoked else None,
        )
    except (ValueError, TypeError):
        raise Unreadable(f"token {row.id} cannot be read back") from None
