"""Acts on the carbon dioxide sampling line."""

from dataclasses import replace
from typing import TypeVar

from tidalbay.catalogue.devices import sampling_sites
from tidalbay.equipment.act import Act
from tidalbay.equipment.door import is_squeezed
from tidalbay.equipment.graph import Graph
from tidalbay.equipment.parts import ActRefused

G = TypeVar("G", bound=Graph)


def sampling_line_placed(graph: G, act: Act) -> G:
    """A line was put at the nostrils, into a mask, or into a breathing circuit."""
    site = act.choice("site", tuple(sampling_sites()), "nose")
    if site == "mask" and not any(device.row.is_mask for device in graph.devices):
        raise ActRefused("There is no mask here to put the sampling line into; put it at the nose.")
    if site == "circuit" and not _has_circuit(graph):
        raise ActRefused(
            "There is no breathing circuit here: a sampling line goes between the valve and the mask of a "
            "bag-valve-mask, or onto a tracheostomy tube. Put it at the nose or into the mask."
        )
    return replace(graph, sampling_site=site)


def sampling_line_removed(graph: G, act: Act) -> G:
    """The line came off."""
    return replace(graph, sampling_site=None)


def _has_circuit(graph: Graph) -> bool:
    return graph.tracheostomy or any(is_squeezed(device) for device in graph.devices)
