"""What legs are built from: sizes, tube, double risers, fittings, and the rest of a leg's row."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesizer.catalog.tubes import tube_catalogue, tube_ids
from linesizer.document.command import Command
from linesizer.document.commands.fitting import SetFitting
from linesizer.document.commands.size import (
    SetDoubleRiser,
    SetLegFields,
    SetLegSize,
    SetLineSize,
    SetLineTube,
    SetRiserSize,
    UseProposedSizes,
    nearest_size,
)
from linesizer.domain.job import Job
from linesizer.domain.route import DoubleRiser, FittingAt, Joint
from tests.document.jobs import EXAMPLE, acted, branching, leg_in, line_in, refused, with_lines

PAIR = DoubleRiser("3/4", "1-1/8", 0.4)


def _sizes(job: Job) -> list[str | None]:
    return [leg.size for leg in line_in(job).legs]


def _with_default(size: str | None) -> Job:
    return with_lines(replace(line_in(EXAMPLE), default_size=size))


def test_one_leg_gets_a_size() -> None:
    command = SetLegSize("c1", "dis", ("d4",), "1-3/8")
    assert command.label == "set size of d4 to 1-3/8"
    assert _sizes(acted(command)) == ["1-5/8", "1-5/8", None, "1-3/8"]
    open_again = SetLegSize("c1", "dis", ("d1",), None)
    assert open_again.label == "leave the size of d1 open"
    assert _sizes(acted(open_again)) == [None, "1-5/8", None, None]


def test_several_legs_get_a_size_and_a_double_riser_gives_way() -> None:
    command = SetLegSize("c1", "dis", ("d1", "d3"), "1-3/8")
    after = acted(command)
    assert command.label == "set size of 2 legs of dis to 1-3/8"
    assert _sizes(after) == ["1-3/8", "1-5/8", "1-3/8", None]
    assert leg_in(after, "d3").double_riser is None


def test_all_risers_get_a_size() -> None:
    command = SetRiserSize("c1", "dis", "1-1/8")
    assert command.label == "set size of all risers of dis to 1-1/8"
    assert _sizes(acted(command)) == ["1-1/8", "1-5/8", "1-1/8", None]


def test_the_whole_line_gets_a_size() -> None:
    command = SetLineSize("c1", "dis", "1-3/8")
    after = acted(command)
    assert command.label == "set size of dis to 1-3/8"
    assert line_in(after).default_size == "1-3/8"
    assert _sizes(after) == [None] * 4
    # More than a size: two tubes that somebody chose together.
    assert leg_in(after, "d3").double_riser == leg_in(EXAMPLE, "d3").double_riser


def test_a_leg_of_another_tube_keeps_its_size_when_the_line_gets_one() -> None:
    own = acted(SetLegFields("c1", "dis", ("d1",), (("tube", "EN-12735-1"),)))
    after = acted(SetLineSize("c1", "dis", "1-3/8"), own)
    assert leg_in(after, "d1") == leg_in(own, "d1")


def test_a_double_riser_is_made_and_unmade() -> None:
    command = SetDoubleRiser("c1", "dis", "d1", PAIR)
    after = acted(command)
    assert command.label == "make d1 a double riser of 3/4 and 1-1/8"
    assert (leg_in(after, "d1").double_riser, leg_in(after, "d1").size) == (PAIR, None)
    undone = SetDoubleRiser("c1", "dis", "d1", None)
    assert undone.label == "make d1 a single riser"
    assert leg_in(acted(undone, after), "d1").double_riser is None


def test_a_legs_row() -> None:
    changes = (("place", "outdoor"), ("insulation_m", 0.025), ("joint", Joint.MECHANICAL), ("fall", 0.01))
    command = SetLegFields("c1", "dis", ("d1", "d2"), changes)
    after = acted(command)
    assert command.label == "change 4 values of 2 legs of dis"
    assert SetLegFields("c1", "dis", ("d1",), changes[1:2]).label == "change insulation of d1"
    for name in ("d1", "d2"):
        leg = leg_in(after, name)
        assert (leg.place, leg.insulation_m, leg.joint, leg.fall) == ("outdoor", 0.025, Joint.MECHANICAL, 0.01)
    assert leg_in(after, "d4") is line_in(EXAMPLE).legs[3] or leg_in(after, "d4") == leg_in(EXAMPLE, "d4")
    with pytest.raises(ValueError, match="size"):
        SetLegFields("c1", "dis", ("d1",), (("size", "7/8"),)).apply(EXAMPLE)


@pytest.mark.parametrize("tube", tube_ids())
@pytest.mark.parametrize("size", ["5/8", "1-5/8", "3-1/8"])
def test_another_tube_gets_the_size_with_the_nearest_bore(tube: str, size: str) -> None:
    """Nearest among the bores that the two catalogues print, by ratio."""
    from_tube = "ASTM-B280-drawn"
    found = nearest_size(tube, from_tube, size)
    catalogue = tube_catalogue(tube)
    if size in catalogue:
        assert found == size
        return
    bore_m = tube_catalogue(from_tube).find(size).inside_diameter_m

    def apart(bore: float) -> float:
        return max(bore, bore_m) / min(bore, bore_m)

    assert apart(catalogue.find(found).inside_diameter_m) == min(
        apart(row.inside_diameter_m) for row in catalogue.sizes
    )


def test_a_line_of_another_tube() -> None:
    command = SetLineTube("c1", "dis", "EN-12735-1")
    after = acted(command, _with_default("1-3/8"))
    assert command.label == "build dis from EN-12735-1"
    line = line_in(after)
    # 1-3/8: bore 32.1 mm (ASTM B280, read); 35x1.5 has 32 mm (EN 12735-1, outside diameter less twice the wall).
    assert (line.tube, line.default_size) == ("EN-12735-1", "35x1.5")
    assert all(leg.size in (None, *tube_catalogue("EN-12735-1").size_names) for leg in line.legs)
    assert len(line.legs) == 4
    riser = leg_in(after, "d3").double_riser
    assert riser is not None
    assert riser.seal_m == 0.3
    assert {riser.small, riser.large} <= set(tube_catalogue("EN-12735-1").size_names)


def test_a_leg_with_tube_and_size_of_its_own_is_not_concerned() -> None:
    own = acted(SetLegFields("c1", "dis", ("d1",), (("tube", "ASTM-B88-L"),)))
    assert (leg_in(own, "d1").tube, leg_in(own, "d1").size) == ("ASTM-B88-L", "1-5/8")
    after = acted(SetLineTube("c1", "dis", "EN-12735-1"), own)
    assert leg_in(after, "d1") == leg_in(own, "d1")


def test_a_leg_that_leant_on_the_default_keeps_a_size_in_its_own_tube() -> None:
    job = _with_default("1-3/8")
    own = acted(SetLegFields("c1", "dis", ("d4",), (("tube", "EN-12735-1"),)), job)
    assert (leg_in(own, "d4").tube, leg_in(own, "d4").size) == ("EN-12735-1", "35x1.5")
    same_words = acted(SetLegFields("c1", "dis", ("d4",), (("tube", "ASTM-B88-L"),)), job)
    assert leg_in(same_words, "d4").size is None
    after = acted(SetLineTube("c1", "dis", "EN-12735-1"), same_words)
    assert (leg_in(after, "d4").tube, leg_in(after, "d4").size) == ("ASTM-B88-L", "1-3/8")


def test_fittings_at_nodes() -> None:
    command = SetFitting("c1", "dis", "n4", "loop")
    after = acted(command)
    assert command.label == "set fitting at n4 to loop"
    assert line_in(after).fittings[-1] == FittingAt("n4", "loop")
    changed = acted(SetFitting("c1", "dis", "n3", "none"), after)
    assert SetFitting("c1", "dis", "n3", "none").label == "put no fitting at n3"
    assert [fitting.kind for fitting in line_in(changed).fittings] == ["elbow_90_long", "none", "loop"]
    cleared = acted(SetFitting("c1", "dis", "n4", None), after)
    assert SetFitting("c1", "dis", "n4", None).label == "leave the fitting at n4 to the route"
    assert cleared == EXAMPLE


@pytest.mark.parametrize(
    ("command", "job", "code", "words"),
    [
        (SetLegSize("c1", "dis", ("d1",), "1-5/9"), EXAMPLE, "EDIT-01", "1-5/9"),
        (SetLegSize("c1", "dis", ("d1", "d7"), "7/8"), EXAMPLE, "EDIT-02", "d1 to d4"),
        (SetLineSize("c1", "dis", "9/9"), EXAMPLE, "EDIT-01", "9/9"),
        (SetDoubleRiser("c1", "dis", "d1", replace(PAIR, large="x")), EXAMPLE, "EDIT-01", '"x"'),
        (SetDoubleRiser("c1", "dis", "d1", replace(PAIR, seal_m=-1.0)), EXAMPLE, "EDIT-01", "height of the seal: -1"),
        (SetLegFields("c1", "dis", ("d1",), (("place", "attic"),)), EXAMPLE, "EDIT-01", "attic"),
        (SetLegFields("c1", "dis", ("d1",), (("insulation_m", -0.1),)), EXAMPLE, "EDIT-01", "-0.1"),
        (SetLegFields("c1", "dis", ("d1",), (("tube", "hose"),)), EXAMPLE, "TUBE-01", "hose"),
        (SetLineTube("c1", "dis", "hose"), EXAMPLE, "TUBE-01", "hose"),
        (SetFitting("c1", "dis", "n3", "knot"), EXAMPLE, "EDIT-01", "knot"),
        (SetFitting("c1", "dis", "n9", "trap"), EXAMPLE, "EDIT-02", "n1 to n5"),
        (SetRiserSize("c1", "dis", "9/9"), branching(), "EDIT-01", "9/9"),
    ],
)
def test_what_cannot_be_is_refused(command: Command, job: Job, code: str, words: str) -> None:
    error = refused(command, job)
    assert error.code == code
    assert words in str(error)


def test_a_line_without_risers_says_so() -> None:
    line = line_in(EXAMPLE)
    job = with_lines(replace(line, legs=line.legs[1:2], ends=()))
    error = refused(SetRiserSize("c1", "dis", "7/8"), job)
    assert (error.code, error.why) == ("SIZE-01", 'No leg of line "dis" climbs more than it runs.')


# What is proposed


def test_one_proposed_size_for_all_becomes_the_lines_own() -> None:
    legs = tuple(leg.id for leg in line_in(EXAMPLE).legs)
    command = UseProposedSizes("c1", "dis", tuple((leg, "1-3/8") for leg in legs))
    assert command.label == "use the sizes proposed for dis"
    with_riser = replace(
        line_in(EXAMPLE),
        legs=(replace(line_in(EXAMPLE).legs[0], size=None, double_riser=PAIR), *line_in(EXAMPLE).legs[1:]),
    )
    job = acted(command, with_lines(with_riser))
    assert line_in(job).default_size == "1-3/8"
    assert {(leg.size, leg.double_riser) for leg in line_in(job).legs} == {(None, None)}
    assert command.apply(job) is job


def test_proposed_sizes_that_differ_stand_at_their_legs() -> None:
    first, *others = (leg.id for leg in line_in(EXAMPLE).legs)
    builds = ((first, PAIR), *((leg, "1-3/8") for leg in others))
    job = acted(UseProposedSizes("c1", "dis", builds))
    assert line_in(job).default_size == line_in(EXAMPLE).default_size
    assert [leg.double_riser or leg.size for leg in line_in(job).legs] == [PAIR, *["1-3/8"] * len(others)]


def test_a_proposal_for_some_legs_or_with_another_tube_leaves_the_lines_size() -> None:
    line = line_in(EXAMPLE)
    legs = tuple(leg.id for leg in line.legs)
    some = acted(UseProposedSizes("c1", "dis", tuple((leg, "1-3/8") for leg in legs[1:])))
    assert line_in(some).default_size == line.default_size
    assert [leg.size for leg in line_in(some).legs][1:] == ["1-3/8"] * (len(legs) - 1)
    other = with_lines(replace(line, legs=(replace(line.legs[0], tube="ASTM-B88-L"), *line.legs[1:])))
    job = acted(UseProposedSizes("c1", "dis", tuple((leg, "1-3/8") for leg in legs)), other)
    assert line_in(job).default_size == line.default_size
    assert [leg.size for leg in line_in(job).legs] == ["1-3/8"] * len(legs)


def test_proposed_sizes_of_a_catalogue_that_has_them_not_are_refused() -> None:
    legs = tuple(leg.id for leg in line_in(EXAMPLE).legs)
    refused(UseProposedSizes("c1", "dis", tuple((leg, "35x1.5") for leg in legs)))
