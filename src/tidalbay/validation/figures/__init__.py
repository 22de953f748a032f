"""The plots of the page, each from the model's own answers and the rows it is held against.

Results come in, because points say whether the model met them; the lines are asked here, at more
places than the rows.  Out come plots as data, in the order in which they are printed.
"""

from collections.abc import Callable, Sequence

from tidalbay.validation.figure import Figure, Results
from tidalbay.validation.figures import bodies, devices, slow, time_courses
from tidalbay.validation.result import Result

__all__ = ["DRAWN", "figures"]

DRAWN: tuple[Callable[[Results], Figure], ...] = (
    devices.cannula_throat,
    devices.cannula_windpipe,
    devices.simple_mask,
    devices.reservoir_mask,
    devices.entrainment,
    devices.high_flow,
    devices.high_flow_pressure,
    devices.mask_ventilation,
    bodies.dissociation,
    bodies.iso_shunt,
    bodies.age,
    bodies.hypoxic_answer,
    bodies.height,
    bodies.height_expired,
    time_courses.apnoea_carbon_dioxide,
    time_courses.apnoea_saturation,
    time_courses.preoxygenation,
    time_courses.step,
    time_courses.oxygen_in_lung_disease,
    time_courses.carbon_monoxide,
    bodies.oximeter_and_carbon_monoxide,
    slow.compressed_oxygen,
    slow.nebuliser_time,
    slow.nebuliser_places,
    slow.skin,
)


def figures(
    results: Sequence[Result], progress: Callable[[int, int, str], None] | None = None
) -> list[Figure]:
    """Every plot, asking the model for its lines."""
    by_id = {each.row.id: each for each in results}
    found = []
    for done, draw in enumerate(DRAWN):
        if progress:
            progress(done, len(DRAWN), draw.__name__.replace("_", " "))
        found.append(draw(by_id))
    if progress:
        progress(len(DRAWN), len(DRAWN), "")
    return found
