"""Tube catalogues against the standards' own arithmetic and printed masses."""

from __future__ import annotations

import csv
import json
import math
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from linesizer.catalog.tubes import Material, Temper, TubeCatalogue, tube_catalogue, tube_ids
from linesizer.domain.resources import resource
from linesizer.errors import UserError

IDS = (
    "ASTM-B280-drawn",
    "ASTM-B280-annealed",
    "ASTM-B88-K",
    "ASTM-B88-L",
    "ASTM-B88M-A",
    "ASTM-B88M-B",
    "EN-12735-1",
    "ASME-B36.10-40",
    "ASME-B36.10-80",
)
ALL = [pytest.param(tube_catalogue(tube_id), id=tube_id) for tube_id in IDS]


def inches(size: str) -> float:
    return float(sum(Fraction(part) for part in size.split("-")))


def test_ids_are_those_of_the_job_file() -> None:
    assert tube_ids() == IDS


@pytest.mark.parametrize("tube_id", IDS)
def test_printed_bore_is_diameter_less_two_walls(tube_id: str) -> None:
    """Exact in the standard's printed digits."""
    with resource("tubes", f"{tube_id}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows
    for row in rows:
        assert Decimal(row["outside_diameter"]) - 2 * Decimal(row["wall"]) == Decimal(row["inside_diameter"]), row


@pytest.mark.parametrize("catalogue", ALL)
def test_mass_is_that_of_the_metal(catalogue: TubeCatalogue) -> None:
    for row in catalogue.sizes:
        area_m2 = math.pi / 4 * (row.outside_diameter_m**2 - row.inside_diameter_m**2)
        # Half of the last printed digit, 0.0001 kg/m.
        assert row.mass_kg_m == pytest.approx(area_m2 * catalogue.density_kg_m3, rel=0.0, abs=5.1e-5), row.size


@pytest.mark.parametrize("catalogue", ALL)
def test_every_row_says_where_it_comes_from(catalogue: TubeCatalogue) -> None:
    assert catalogue.label
    assert catalogue.standard
    assert catalogue.temper_note
    for source in (catalogue.roughness_source, catalogue.density_source, catalogue.least_wall_source):
        assert "(" in source, "names how it was seen"
    for row in catalogue.sizes:
        assert catalogue.standard.split("-")[0] in row.source
        assert row.status in {"read", "from memory", "derived"}


@pytest.mark.parametrize("catalogue", ALL)
def test_sizes_stand_in_order_of_bore_and_one_word_means_one_tube(catalogue: TubeCatalogue) -> None:
    bores = catalogue.inside_diameters_m
    assert np.all(np.diff(bores) > 0)
    assert len(set(catalogue.size_names)) == len(catalogue.sizes)
    assert catalogue.inside_diameters_m.tolist() == [row.inside_diameter_m for row in catalogue.sizes]
    assert catalogue.outside_diameters_m.tolist() == [row.outside_diameter_m for row in catalogue.sizes]
    assert catalogue.walls_m.tolist() == [row.wall_m for row in catalogue.sizes]
    assert catalogue.masses_kg_m.tolist() == [row.mass_kg_m for row in catalogue.sizes]
    for place, row in enumerate(catalogue.sizes):
        assert catalogue.index(row.size) == place
        assert catalogue.find(row.size) is row
        assert row.size in catalogue


@pytest.mark.parametrize("tube_id", ["ASTM-B280-drawn", "ASTM-B280-annealed", "ASTM-B88-K", "ASTM-B88-L"])
def test_inch_copper_is_keyed_by_outside_diameter(tube_id: str) -> None:
    for row in tube_catalogue(tube_id).sizes:
        # 5/16 and 3/16 are printed as 0.312 and 0.187: three decimals, cut.
        assert row.outside_diameter_m / 0.0254 == pytest.approx(inches(row.size), rel=0.0, abs=1e-3)
        over = 0.125 if tube_id.startswith("ASTM-B88") else 0.0
        assert inches(row.nominal) + over == inches(row.size)


@pytest.mark.parametrize("tube_id", ["ASTM-B88M-A", "ASTM-B88M-B", "EN-12735-1"])
def test_metric_copper_is_keyed_by_diameter_and_wall(tube_id: str) -> None:
    for row in tube_catalogue(tube_id).sizes:
        outside, wall = row.size.split("x")
        assert row.outside_diameter_m == pytest.approx(float(outside) / 1000)
        assert row.wall_m == pytest.approx(float(wall) / 1000)


# NPS: kg/m of schedule 40 and 80, ASME B36.10M (from memory).
PRINTED_MASSES_kg_m = {
    "1/2": (1.27, 1.62),
    "1": (2.50, 3.24),
    "1-1/4": (3.39, 4.47),
    "2": (5.44, 7.48),
    "2-1/2": (8.63, 11.41),
    "3": (11.29, 15.27),
    "4": (16.08, 22.32),
    "6": (28.26, 42.56),
    "8": (42.55, 64.64),
}


@pytest.mark.parametrize("size", PRINTED_MASSES_kg_m)
def test_steel_pipe_weighs_what_the_standard_prints(size: str) -> None:
    for schedule, printed_kg_m in zip(("40", "80"), PRINTED_MASSES_kg_m[size], strict=True):
        pipe = tube_catalogue(f"ASME-B36.10-{schedule}").find(size)
        # Half of the last printed digit of the mass, and of the wall (0.005 mm) to which the mass is proportional.
        tolerance = 0.005 + pipe.mass_kg_m * 5e-6 / pipe.wall_m
        assert pipe.mass_kg_m == pytest.approx(printed_kg_m, rel=0.0, abs=tolerance)


def test_materials_and_tempers() -> None:
    for tube_id in IDS:
        catalogue = tube_catalogue(tube_id)
        steel = tube_id.startswith("ASME")
        assert catalogue.material is (Material.STEEL if steel else Material.COPPER)
        # Roughness of engineering-basis section 3 (Moody 1944, from memory).
        assert catalogue.roughness_m == (4.5e-5 if steel else 1.5e-6)
        assert (catalogue.temper is Temper.SEAMLESS) == steel
    assert tube_catalogue("ASTM-B280-annealed").temper is Temper.ANNEALED


def test_the_other_wall_of_annealed_three_quarter_tube_is_accounted_for() -> None:
    row = tube_catalogue("ASTM-B280-annealed").find("3/4")
    assert row.wall_m == pytest.approx(0.035 * 0.0254)
    assert "0.042" in row.note
    assert tube_catalogue("ASTM-B280-drawn").find("3/4").wall_m == pytest.approx(0.042 * 0.0254)


@pytest.mark.parametrize(
    ("tube_id", "typed", "named"),
    [
        ("EN-12735-1", "22", ("22x1", "22x1.5")),
        ("EN-12735-1", "66x2", ("66.7x2",)),
        ("ASTM-B280-drawn", '7/8"', ("7/8",)),
        ("ASTM-B280-drawn", "1-7/8", ("1-1/8", "1-3/8", "1-5/8")),
        ("ASTM-B88-L", "1-1/4", ("1-3/8",)),
        ("ASME-B36.10-40", "1.25", ()),
    ],
)
def test_an_unknown_size_names_the_near_ones_and_the_range(tube_id: str, typed: str, named: tuple[str, ...]) -> None:
    catalogue = tube_catalogue(tube_id)
    with pytest.raises(UserError) as caught:
        catalogue.find(typed)
    message = str(caught.value)
    assert f'"{typed}"' in message
    assert catalogue.label in message
    assert catalogue.range_text in message
    assert all(name in caught.value.remedy for name in named)


def test_an_unknown_tube_names_the_near_ones() -> None:
    with pytest.raises(UserError, match="ASTM-B280-drawn") as caught:
        tube_catalogue("ASTM-B280")
    assert caught.value.code == "TUBE-01"
    assert "ASTM-B280-annealed" in caught.value.remedy


def test_catalogues_are_read_once_and_hash() -> None:
    assert tube_catalogue("EN-12735-1") is tube_catalogue("EN-12735-1")
    assert len({tube_catalogue(tube_id) for tube_id in IDS}) == len(IDS)


def test_every_shipped_file_belongs_to_a_catalogue() -> None:
    listed = {row["id"] for row in json.loads(resource("tubes", "catalogues.json").read_text("utf-8"))["catalogues"]}
    assert {path.stem for path in resource("tubes").glob("*.csv")} == listed
