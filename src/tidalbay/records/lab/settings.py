"""What the school has set: units, region, the gas that is here today, and the password's hash."""

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from sqlalchemy import delete, insert, select

from tidalbay.records.lab.database import Database
from tidalbay.records.lab.signing_in import ROLES
from tidalbay.records.lab.tables import SETTING, SIGNED_IN
from tidalbay.records.problem import StoreError

GASES: Final = ("oxygen", "air", "none")

_PASSWORD: Final = "password_hash"


def _one_of(*words: str) -> Callable[[object], str | None]:
    return lambda value: None if value in words else f"is {value!r}; it is one of {', '.join(words)}"


def _name(value: object) -> str | None:
    is_name = isinstance(value, str) and 0 < len(value) <= 100 and value.isprintable()
    return None if is_name else f"is {value!r}; it is a name of 1 to 100 printable characters"


def _gas_of_outlets(value: object) -> str | None:
    if not isinstance(value, Mapping):
        return f"is {value!r}; it says the gas of each outlet"
    wrong = [f"{outlet} has {gas!r}" for outlet, gas in value.items() if gas not in GASES]
    return f"says that {', '.join(wrong)}; a gas here is one of {', '.join(GASES)}" if wrong else None


# Each setting, and what is wrong with a value, in words that follow its name.
SETTINGS: Final[Mapping[str, Callable[[object], str | None]]] = {
    "supply_pressure_unit": _one_of("psi", "bar"),
    "gas_tension_unit": _one_of("mmHg", "kPa"),
    "region": _name,
    "gas_here": _gas_of_outlets,
}


class Settings:
    """Values by name; a name that was never set is not there."""

    def __init__(self, database: Database) -> None:
        """Use `LabStore`."""
        self._database = database

    def all(self) -> dict[str, Any]:
        """Return every setting that was set."""
        with self._database.reading() as connection:
            rows = connection.execute(select(SETTING.c.name, SETTING.c.value)).all()
        return {name: json.loads(value) for name, value in rows if name in SETTINGS}

    def set(self, name: str, value: Any) -> None:
        """Keep one setting; raise `StoreError`, in a sentence, for one that cannot be."""
        if name not in SETTINGS:
            raise StoreError(f"there is no setting {name}; settings are {', '.join(SETTINGS)}.")
        fault = SETTINGS[name](value)
        if fault:
            raise StoreError(f"the setting {name} {fault}.")
        self._keep(name, value)

    def password_hash(self) -> str | None:
        """Return the hash of the instructor's password, or None before the first start is done."""
        with self._database.reading() as connection:
            value = connection.execute(select(SETTING.c.value).where(SETTING.c.name == _PASSWORD)).scalar()
        return None if value is None else str(json.loads(value))

    def set_password_hash(self, password_hash: str, everybody: bool = False) -> None:
        """Keep a new password's hash and sign everybody out who was let in by the old one.

        Parameters
        ----------
        password_hash : str
        everybody : bool
            Whether those who came by a code are signed out too.
        """
        self._keep(_PASSWORD, password_hash, ROLES if everybody else ("instructor",))

    def _keep(self, name: str, value: Any, signs_out: Sequence[str] = ()) -> None:
        with self._database.writing() as connection:
            connection.execute(delete(SETTING).where(SETTING.c.name == name))
            connection.execute(insert(SETTING).values(name=name, value=json.dumps(value)))
            if signs_out:
                connection.execute(delete(SIGNED_IN).where(SIGNED_IN.c.role.in_(signs_out)))
