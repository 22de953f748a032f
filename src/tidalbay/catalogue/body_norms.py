"""What is usual at an age and a sex: tables over age, straight lines between their points."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

from tidalbay.catalogue.figure import MARKS
from tidalbay.catalogue.yaml_rows import rows


@dataclass(frozen=True, slots=True)
class Norm:
    """One quantity over age.

    `ages` in years rise; `female` and `male` hold its values there, in `unit`; `mark` and `basis`
    say how they are known.
    """

    id: str
    unit: str
    ages: tuple[float, ...]
    female: tuple[float, ...]
    male: tuple[float, ...]
    mark: str
    basis: str

    def at(self, age_years: float, sex: str) -> float:
        """The usual value at an age, held before the first age of the table and after its last."""
        values = self.female if sex == "female" else self.male
        if age_years <= self.ages[0]:
            return values[0]
        for i in range(1, len(self.ages)):
            if age_years <= self.ages[i]:
                share = (age_years - self.ages[i - 1]) / (self.ages[i] - self.ages[i - 1])
                return values[i - 1] + share * (values[i] - values[i - 1])
        return values[-1]


@cache
def body_norms() -> Mapping[str, Norm]:
    """Every table by id."""
    return {row["id"]: _norm(row) for row in rows("body_norms.yaml")}


def usual_at(norm: str, age_years: float, sex: str) -> float:
    """What is usual at an age (in years) for that sex, in the unit of that table."""
    return body_norms()[norm].at(age_years, sex)


def _norm(row: Mapping[str, Any]) -> Norm:
    where = f"body_norms.yaml, {row['id']}"
    ages = tuple(float(age) for age in row["ages"])
    female, male = (
        tuple(float(value) for value in row.get("both", row.get(sex, ()))) for sex in ("female", "male")
    )
    if not len(ages) == len(female) == len(male):
        raise ValueError(
            f"{where}: has {len(ages)} ages; write as many values under both, or female and male."
        )
    if any(later <= sooner for sooner, later in pairwise(ages)):
        raise ValueError(f"{where}: its ages do not rise; write the youngest first.")
    if row.get("mark") not in MARKS or not row.get("basis"):
        raise ValueError(f"{where}: says no mark or no basis; write how the table is known and from where.")
    return Norm(row["id"], row["unit"], ages, female, male, row["mark"], row["basis"])
