from __future__ import annotations

import math
from types import ModuleType

import pytest

from linesizer.drawing.display_list import Box, Layer, Polyline, Text
from linesizer.drawing.fit import LEAST_SCALE, MOST_SCALE, fit
from linesizer.drawing.options import SceneOptions
from linesizer.drawing.paper import paper, paper_step
from linesizer.drawing.projection import FULL_SIZE_UNITS_PER_M, Projection, View
from linesizer.drawing.scene import build_scene
from linesizer.drawing.sheet import furnished
from linesizer.units import METRES_PER_FOOT, System

VISIBLE = Box(-300.0, -200.0, 500.0, 400.0)


@pytest.mark.parametrize(
    ("scale", "system", "words"),
    [
        (40.0, "si", "grid 1 m"),
        (160.0, "si", "grid 0.2 m"),
        (20.0, "si", "grid 2 m"),
        (4.0, "si", "grid 10 m"),
        (40.0, "ip", "grid 5 ft"),
        (160.0, "ip", "grid 1 ft"),
        (640.0, "ip", "grid 2 in"),
    ],
)
def test_the_step_of_the_paper_follows_the_zoom(scale: float, system: System, words: str) -> None:
    assert paper_step(scale, system).words == words


@pytest.mark.parametrize("system", ["si", "ip"])
def test_the_lines_of_the_paper_never_crowd_nor_get_lost(system: System) -> None:
    for zoom in range(5, 401, 5):
        scale = zoom / 100.0 * FULL_SIZE_UNITS_PER_M
        assert 26.0 <= paper_step(scale, system).step_m * scale <= 26.0 * 2.51


@pytest.mark.parametrize("view", list(View))
def test_the_paper_covers_what_is_visible_and_no_more(view: View) -> None:
    display = paper(Projection(view, 40.0), VISIBLE, "si")
    slopes = set()
    for item in display.items:
        assert isinstance(item, Polyline)
        assert item.layer is Layer.GRID
        (x0, y0), (x1, y1) = item.points
        for x, y in item.points:
            assert VISIBLE.left - 1e-6 <= x <= VISIBLE.right + 1e-6
            assert VISIBLE.top - 1e-6 <= y <= VISIBLE.bottom + 1e-6
        slopes.add(round(math.degrees(math.atan2(y1 - y0, x1 - x0)) % 180.0))
    assert slopes == ({30, 90, 150} if view is View.ISOMETRIC else {0, 90})


def test_isometric_paper_passes_through_whole_metres() -> None:
    projection = Projection(View.ISOMETRIC, 40.0)
    display = paper(projection, VISIBLE, "si")
    x, y = projection.spot((2.0, -1.0, 3.0))
    through = 0
    for item in display.items:
        assert isinstance(item, Polyline)
        (x0, y0), (x1, y1) = item.points
        away = abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / math.dist(*item.points)
        through += away < 1e-6
    assert through == 3


def test_inch_pound_paper_counts_feet() -> None:
    assert paper_step(40.0, "ip").step_m == pytest.approx(5.0 * METRES_PER_FOOT)


@pytest.mark.parametrize("view", [View.ISOMETRIC, View.PLAN, View.FROM_EAST])
@pytest.mark.parametrize("room", [Box(0.0, 0.0, 840.0, 600.0), Box(100.0, 50.0, 700.0, 950.0)])
@pytest.mark.parametrize("job", ["condenser_above", "tall_riser", "condenser_below", "long_job"])
def test_a_fitted_drawing_lies_in_its_rectangle_labels_and_all(
    jobs: ModuleType, job: str, room: Box, view: View
) -> None:
    circuit = getattr(jobs, job)()
    options = SceneOptions(view=view)
    found = fit([circuit], options, room)
    display = build_scene([circuit], SceneOptions(view=view, scale=found.scale)).display.moved(found.dx, found.dy)
    drawn = display.bounds()
    assert drawn is not None
    assert room.left - 1e-6 <= drawn.left
    assert drawn.right <= room.right + 1e-6
    assert room.top - 1e-6 <= drawn.top
    assert drawn.bottom <= room.bottom + 1e-6
    assert drawn.centre == pytest.approx(room.centre)
    # It fills the rectangle one way, or is at full zoom.
    fills = max(drawn.width / room.width, drawn.height / room.height)
    assert fills > 0.8 or found.scale == pytest.approx(MOST_SCALE)


def test_an_empty_job_is_shown_at_full_size_in_the_middle() -> None:
    found = fit([], SceneOptions(), Box(0.0, 0.0, 800.0, 600.0))
    assert (found.scale, found.dx, found.dy) == (FULL_SIZE_UNITS_PER_M, 400.0, 300.0)


def test_no_room_at_all_ends_at_the_least_scale(jobs: ModuleType) -> None:
    assert fit([jobs.tall_riser()], SceneOptions(), Box(0.0, 0.0, 60.0, 40.0)).scale == LEAST_SCALE


def test_a_furnished_sheet_keeps_axes_and_legend_off_the_drawing(jobs: ModuleType) -> None:
    circuit = jobs.condenser_above()
    options = SceneOptions()
    scene = build_scene([circuit], options)
    display, box = furnished(scene, [circuit], options)
    drawn, furniture = scene.display.bounds(), display.bounds([Layer.FURNITURE])
    assert drawn is not None
    assert furniture is not None
    pieces = [item for item in display.items if item.layer is Layer.FURNITURE]
    single = [piece for piece in (type(display)((item,), 40.0).bounds() for item in pieces) if piece is not None]
    assert not [piece for piece in single if piece.meets(drawn)]
    assert box.left <= furniture.left
    assert furniture.right <= box.right
    assert furniture.bottom <= box.bottom
    assert "grid 1 m" in {item.text for item in display.items if isinstance(item, Text)}
