"""The tables, as SQLAlchemy knows them. ``migrations/`` is what makes and changes them."""

from __future__ import annotations

from sqlalchemy import (
    Column,
    Float,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

metadata = MetaData()

# Times are ISO 8601 text in UTC: SQLite and PostgreSQL then keep and sort them alike.
recipes = Table(
    "recipes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("title", Text),
    Column("measures", String(10)),
    Column("warnings", Text, nullable=False, server_default="[]"),
    Column("version", Integer, nullable=False, server_default="0"),
    Column("created", String(40), nullable=False),
    Column("changed", String(40), nullable=False),
)

turns = Table(
    "turns",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("recipe", Integer, ForeignKey("recipes.id"), nullable=False, index=True),
    Column("version", Integer, nullable=False),
    Column("kind", String(10), nullable=False),
    Column("who", Text, nullable=False),
    Column("at", String(40), nullable=False),
    Column("count", Integer, nullable=False, server_default="0"),
    Column("text", Text, nullable=False),
    Column("events", Text, nullable=False),
    Column("reply", Text, nullable=False, server_default="[]"),
    # Two writers that saw the same version cannot both append: the second is told.
    UniqueConstraint("recipe", "version", name="one_turn_a_version"),
)

own_foods = Table(
    "own_foods",
    metadata,
    Column("key", String(200), primary_key=True),
    Column("name", Text, nullable=False),
    Column("figures", Text, nullable=False),
    Column("serving_g", Float),
    Column("density_g_ml", Float),
    Column("note", Text, nullable=False, server_default=""),
    Column("changed", String(40), nullable=False),
)

# The secret itself is never kept: only its SHA-256.
tokens = Table(
    "tokens",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String(100), nullable=False, unique=True),
    Column("scope", String(10), nullable=False),
    Column("digest", String(64), nullable=False, unique=True),
    Column("created", String(40), nullable=False),
    Column("revoked", String(40)),
)

# A request that is sent twice makes one recipe: key and body, both as digests.
creations = Table(
    "creations",
    metadata,
    Column("key", String(64), primary_key=True),
    Column("digest", String(64), nullable=False),
    Column("recipe", Integer, ForeignKey("recipes.id"), nullable=False),
)
