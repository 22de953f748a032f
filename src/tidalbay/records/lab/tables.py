"""Tables of lab.db as they are today. `steps` brings an older file here."""

from typing import Final

from sqlalchemy import (
    BigInteger,
    Column,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

# Times are whole milliseconds of UTC: any database keeps them alike.
METADATA: Final = MetaData()

SETTING: Final = Table(
    "setting",
    METADATA,
    Column("name", String(100), primary_key=True),
    Column("value", Text, nullable=False),  # JSON
)
SIGNED_IN: Final = Table(
    "signed_in",
    METADATA,
    Column("token_sha256", String(64), primary_key=True),  # never the token: the file opens no door
    Column("role", String(20), nullable=False),
    Column("station", String(100)),
    Column("lab", Integer, ForeignKey("lab.id")),
    Column("created_utc_ms", BigInteger, nullable=False),
    Column("expires_utc_ms", BigInteger, nullable=False),
)
LAB: Final = Table(
    "lab",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("day", String(10), nullable=False),  # 2026-11-25, as the instructor's wall calendar has it
    Column("opened_utc_ms", BigInteger, nullable=False),
    Column("closed_utc_ms", BigInteger),
)
STATION: Final = Table(
    "station",
    METADATA,
    Column("id", String(100), primary_key=True),
    Column("title", String(200), nullable=False),
    Column("place", Integer, nullable=False),
)
IN_LINE: Final = Table(
    "in_line",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("lab", Integer, ForeignKey("lab.id"), nullable=False),
    Column("learner", String(100), nullable=False),
    Column("station", String(100)),
    Column("place", Integer, nullable=False),
    Column("state", String(20), nullable=False),
    UniqueConstraint("lab", "learner"),
)
# The one table with names. Every other place, the act log above all, has the opaque id only.
PEOPLE: Final = Table(
    "people",
    METADATA,
    Column("id", String(100), primary_key=True),
    Column("name", String(200), nullable=False),
)
JOIN_CODE: Final = Table(
    "join_code",
    METADATA,
    Column("code", String(20), primary_key=True),
    Column("role", String(20), nullable=False),
    Column("station", String(100)),
    Column("lab", Integer, ForeignKey("lab.id"), nullable=False),
    Column("expires_utc_ms", BigInteger, nullable=False),
)
