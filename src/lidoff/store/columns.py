"""Column types and the base class of every table."""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import BigInteger, Boolean, DateTime, Double, MetaData, Table, Text
from sqlalchemy.orm import DeclarativeBase
from sqlalchemy.types import UserDefinedType


class _Untyped(UserDefinedType[float]):
    cache_ok = True

    def get_col_spec(self, **kw: Any) -> str:
        return ""


#: A float kept bit for bit. SQLite stores whole numbers of a REAL column as integers and so drops
#: the sign of -0.0; a column declared without a type keeps the eight bytes.
NUMBER: Double[float] = Double().with_variant(_Untyped(), "sqlite")


class Base(DeclarativeBase):
    """Every table: plain types that any database has, and constraint names migrations can name."""

    metadata = MetaData(
        naming_convention={
            "pk": "pk_%(table_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        }
    )
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        str: Text,
        int: BigInteger,
        float: NUMBER,
        bool: Boolean,
    }


UTC_TIME = DateTime(timezone=True)


def table_of(row: type[Base]) -> Table:
    """The table behind a mapped class."""
    found = row.__table__
    assert isinstance(found, Table)
    return found
