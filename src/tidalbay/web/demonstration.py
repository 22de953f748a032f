"""The demonstration: the first station with the first case, going."""

from typing import Final

from tidalbay.live import Lab, Who, clock_said

CASE: Final = "post-operative"
_BY: Final = Who("instructor", "station")


async def demonstrate(lab: Lab) -> bool:
    """Begin the demonstration at the first station; False where that station holds an attempt already."""
    station = next(iter(lab.stations.values()))
    if station.life not in ("empty", "ended"):
        return False
    await station.begin(lab.case(CASE), "demonstration", seed=0)
    await station.clock(clock_said({"do": "go"}), _BY)
    return True
