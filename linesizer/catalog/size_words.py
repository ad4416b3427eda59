"""What a size's word means outside its own catalogue, where equipment names its connections by it."""

from __future__ import annotations

from functools import cache

from linesizer.catalog.tubes import tube_catalogue, tube_ids

SAME_DIAMETER_m = 1e-4
"""A tenth of a millimetre: 22 mm and 7/8 in (22.2 mm) tube need an adapter, two walls of one diameter do not."""


@cache
def outside_diameter_m(size: str, tube: str) -> float | None:
    """Return the outside diameter that a size's word means beside a line of some tube, [m]; None where it is no size.

    The catalogues of the line's metal are asked first: ``1/2`` is an outside diameter beside copper and a pipe size
    beside steel.  ``1-1/4`` is a pipe size beside copper too, where no tube has that outside diameter.
    """
    metal = tube_catalogue(tube).material
    catalogues = sorted(tube_ids(), key=lambda name: tube_catalogue(name).material is not metal)
    for name in catalogues:
        catalogue = tube_catalogue(name)
        if size in catalogue:
            return catalogue.find(size).outside_diameter_m
    return None


def same_connection(one: str, other: str, tube: str) -> bool:
    """Tell whether two size words beside a line of some tube join without a reducer."""
    if one == other:
        return True
    first, second = outside_diameter_m(one, tube), outside_diameter_m(other, tube)
    return first is not None and second is not None and abs(first - second) < SAME_DIAMETER_m
