"""What one value of a job cannot tell alone: ids, references, names of the catalogues, sums, the route."""

from __future__ import annotations

from typing import Any

import pytest

from linesizer.errors import JobFileError
from linesizer.storage import job_file
from tests.storage.samples import as_bytes, example, problems_of, put

C = "circuits.0"
L = "circuits.0.lines.0"

CASES: list[tuple[dict[str, Any], str, str, str]] = [
    # changes, path reported, found, allowed
    ({f"{C}.conditions.1.id": "full"}, "circuits[0].conditions[1].id",
     '"full" is the id of circuits[0].conditions[0] already', "an id that no other"),
    ({f"{C}.equipment.2.id": "unit"}, "circuits[0].equipment[2].id", '"unit" is the id of', "no other"),
    ({f"{L}.legs.3.id": "d1"}, "circuits[0].lines[0].legs[3].id", '"d1" is the id of', "no other"),
    ({f"{L}.legs.0.parts": [{"id": "p", "kind": "ball_valve"}, {"id": "p", "kind": "muffler"}]},
     "circuits[0].lines[0].legs[0].parts[1].id", '"p" is the id of', "no other"),
    ({"site.rooms": [{"id": "plant"}, {"id": "plant"}]}, "site.rooms[1].id", '"plant" is the id of', "no other"),
    ({"site.rooms": [{"id": "plant"}, {"id": "outdoor"}]}, "site.rooms[1].id", '"outdoor" means', "another id"),
    ({f"{L}.legs.3.place": "loft"}, "circuits[0].lines[0].legs[3].place", 'no room with the id "loft" for leg "d4"',
     "indoor, outdoor, or one of the site's rooms: plant"),
    ({f"{C}.equipment.1.place": "roof"}, "circuits[0].equipment[1].place", 'no room with the id "roof"', "plant"),
    ({f"{C}.charge_condition": "winter"}, "circuits[0].charge_condition", 'no condition with the id "winter"',
     "conditions of this circuit: full, low; or null"),
    ({f"{C}.refrigerant": "R1234ze"}, "circuits[0].refrigerant", 'no refrigerant named "R1234ze"', "R1234ze(E)"),
    ({f"{C}.refrigerant": "steam"}, "circuits[0].refrigerant", 'no refrigerant named "steam"', "R134a"),
    ({"practice.set": "generl"}, "practice.set", 'no practice set named "generl"', "general"),
    ({"practice.overrides": {"discharge_penalty": 1}}, "practice.overrides.discharge_penalty",
     'no rule named "discharge_penalty"', "near names: discharge_penalty_K"),
    ({"practice.overrides": {"discharge_penalty_K": "1"}}, "practice.overrides.discharge_penalty_K", '"1"', "a number"),
    ({f"{C}.conditions.0.evaporating_C": None}, "circuits[0].conditions[0].evaporating_C",
     'condition "Full load, summer" states no evaporating temperature', "either evaporating_C, or leaving_fluid_C"),
    ({f"{C}.conditions.0.evaporating_C": ...}, "circuits[0].conditions[0].evaporating_C", "states no", "either"),
    ({f"{C}.conditions.0.leaving_fluid_C": 7.0}, "circuits[0].conditions[0].evaporating_C",
     "states evaporating_C and leaving_fluid_C", "make the others null"),
    ({f"{C}.conditions.0.evaporating_C": None, f"{C}.conditions.0.leaving_fluid_C": 7.0},
     "circuits[0].conditions[0].approach_K", "states leaving_fluid_C without approach_K", "either"),
    ({f"{C}.conditions.0.evaporating_C": None, f"{C}.conditions.0.approach_K": 7.0},
     "circuits[0].conditions[0].leaving_fluid_C", "states approach_K without leaving_fluid_C", "either"),
    ({f"{C}.conditions.1.evaporating_C": 30.0}, "circuits[0].conditions[1].evaporating_C",
     'condition "Lowest step, winter" evaporates at 30 °C and condenses at 30 °C', "below the condensing"),
    ({f"{C}.conditions.1.evaporating_C": ..., f"{C}.conditions.1.leaving_fluid_C": 40,
      f"{C}.conditions.1.approach_K": 5},
     "circuits[0].conditions[1].leaving_fluid_C", "evaporates at 35 °C", "below the condensing"),
    ({f"{C}.conditions.0.discharge_C": 45.0}, "circuits[0].conditions[0].discharge_C",
     "discharges at 45 °C and condenses at 50 °C", "above the condensing"),
    ({f"{C}.conditions.0.condensing_C": 110.0}, "circuits[0].conditions[0].condensing_C",
     'Condensing temperature of condition "Full load, summer": it is 110', ""),
    ({f"{C}.conditions.1.evaporating_C": -80.0}, "circuits[0].conditions[1].evaporating_C",
     'Evaporating temperature of condition "Lowest step, winter": it is', ""),
    ({f"{C}.head_pressure_control.minimum_condensing_C": 120.0},
     "circuits[0].head_pressure_control.minimum_condensing_C",
     "Least condensing temperature of the head-pressure control: it is 120", ""),
    ({f"{C}.equipment.1.share": 0.5}, "circuits[0].equipment[1].share", "the condensers' shares sum to 0.5", "1 where"),
    ({f"{L}.tube": "ASTM-B280"}, "circuits[0].lines[0].tube", 'no tube named "ASTM-B280"', "ASTM-B280-drawn"),
    ({f"{L}.legs.3.tube": "L"}, "circuits[0].lines[0].legs[3].tube", 'no tube named "L" for leg "d4"', "ASTM-B88-L"),
    ({f"{L}.default_size": "1 5/8"}, "circuits[0].lines[0].default_size", '"1 5/8" is no size of ASTM-B280-drawn',
     "near names: 1-5/8"),
    ({f"{L}.legs.3.size": "22x1"}, "circuits[0].lines[0].legs[3].size",
     '"22x1" is no size of ASTM-B280-drawn for leg "d4"', "3/8"),
    ({f"{L}.legs.3.size": "7/8", f"{L}.legs.3.tube": "EN-12735-1"}, "circuits[0].lines[0].legs[3].size",
     '"7/8" is no size of EN-12735-1', "sizes"),
    ({f"{L}.default_size": "7/8", f"{L}.legs.3.tube": "EN-12735-1"}, "circuits[0].lines[0].legs[3].size",
     'the line\'s default size "7/8" is no size of EN-12735-1', "sizes"),
    ({f"{L}.legs.2.size": "7/8"}, "circuits[0].lines[0].legs[2].size", 'leg "d3" has a size and a double riser', "one"),
    ({f"{L}.legs.2.double_riser.large": "1-3/9"}, "circuits[0].lines[0].legs[2].double_riser.large",
     "no size of", "1-3/8"),
    ({f"{L}.legs.2.double_riser.small_parts": [{"kind": "bend"}]},
     "circuits[0].lines[0].legs[2].double_riser.small_parts[0].kind", 'no fitting named "bend"', ""),
    ({f"{L}.legs.0.parts.0.kind": "bal_valve"}, "circuits[0].lines[0].legs[0].parts[0].kind",
     'no part kind named "bal_valve"', "ball_valve"),
    ({f"{L}.legs.0.parts.0.loss": {}}, "circuits[0].lines[0].legs[0].parts[0].loss",
     'the loss of part "p1" has no form', "exactly one of equivalent_length_m, k, kv_m3_h, drop_Pa"),
    ({f"{L}.legs.0.parts.0.loss": {"k": 1, "kv_m3_h": 2}}, "circuits[0].lines[0].legs[0].parts[0].loss",
     "has k and kv_m3_h", "exactly one"),
    ({f"{L}.legs.0.parts.0.loss": {"k": 1, "at_kg_s": 2}}, "circuits[0].lines[0].legs[0].parts[0].loss.at_kg_s",
     "at_kg_s without drop_Pa", "drop_Pa"),
    ({f"{L}.fittings.n3.kind": "traps"}, "circuits[0].lines[0].fittings.n3.kind", 'no fitting named "traps"', "trap"),
    ({f"{L}.fittings.n7": {"kind": "trap"}}, "circuits[0].lines[0].fittings.n7", 'no node named "n7"', "n1 to n5"),
    ({f"{L}.ends.n7": "cond"}, "circuits[0].lines[0].ends.n7", 'no node named "n7"', "n1 to n5"),
    ({f"{L}.ends.n3": "cond"}, "circuits[0].lines[0].ends.n3", 'flow passes through node "n3"', "n1, n5"),
    ({f"{L}.ends.n5": "loft"}, "circuits[0].lines[0].ends.n5", 'no equipment with the id "loft"', "unit, cond, rec"),
    ({f"{L}.ends.n1": "unit:"}, "circuits[0].lines[0].ends.n1", '"unit:" names no port', "a port"),
    ({f"{L}.legs.3.to": "n9"}, "circuits[0].lines[0].legs[3].to", 'no node named "n9"', "nodes of this line: n1 to n5"),
    ({f"{L}.legs.3.from": "x"}, "circuits[0].lines[0].legs[3].from", 'no node named "x"', "n1 to n5"),
    ({f"{L}.nodes.n5": [6.0, 0.0, 9.0]}, "circuits[0].lines[0].legs[3]", 'leg "d4"', "length"),
    ({f"{L}.nodes.n5": [6.0, 0.0, 5.0]}, "circuits[0].lines[0].legs[3]", 'leg "d4"', "one place"),
    ({f"{L}.legs.3.to": "n1"}, "circuits[0].lines[0].legs[3]", "loop", "tree"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "path", "found", "allowed"), CASES, ids=[case[1] for case in CASES])
def test_each_contradiction_is_found_once(changes: dict[str, Any], path: str, found: str, allowed: str) -> None:
    document = example()
    for where, value in changes.items():
        put(document, where, value)
    problem, *others = [one for one in problems_of(document) if one.path == path]
    assert others == []
    assert found in problem.found
    assert allowed in problem.allowed


def test_the_only_problem_is_the_one_that_was_made() -> None:
    # What is right beside a mistake is not dragged in; loop and bad ends are excepted, which have more than one place.
    for changes, path, _, _ in CASES:
        document = example()
        for where, value in changes.items():
            put(document, where, value)
        paths = [problem.path for problem in problems_of(document)]
        assert paths == [path] or path.endswith(("legs[3]", "legs[3].to", "legs[3].from", "equipment[2].id")), (
            path,
            paths,
        )


def condensers(*shares: float | None) -> dict[str, Any]:
    document = example()
    document["circuits"][0]["equipment"] = [document["circuits"][0]["equipment"][0]] + [
        {"id": f"c{index}", "role": "condenser", "share": share} for index, share in enumerate(shares)
    ]
    document["circuits"][0]["lines"] = []
    return document


@pytest.mark.parametrize(
    ("shares", "found"),
    [
        ((0.25, 0.75), None),
        ((0.1, 0.2, 0.7), None),
        ((None, None), None),
        ((0.4, None), None),
        ((1 / 3, 1 / 3, 1 / 3), None),
        ((0.333, 0.333, 0.333), "sum to 0.999"),
        ((0.5, 0.6), "sum to 1.1"),
        ((0.5, 0.5, None), "the stated shares sum to 1"),
    ],
)
def test_shares_of_condensers_sum_to_one(shares: tuple[float | None, ...], found: str | None) -> None:
    document = condensers(*shares)
    if found is None:
        job_file.parse(as_bytes(document), "x")
    else:
        (problem,) = problems_of(document)
        assert found in problem.found


def test_leaving_fluid_with_approach_stands_for_an_evaporating_temperature() -> None:
    document = example()
    put(document, "circuits.0.conditions.0.evaporating_C", None)
    put(document, "circuits.0.conditions.0.leaving_fluid_C", 7.0)
    put(document, "circuits.0.conditions.0.approach_K", 5.0)
    condition = job_file.parse(as_bytes(document), "x").job.circuits[0].conditions[0]
    assert (condition.evaporating_C, condition.leaving_fluid_C, condition.approach_K) == (None, 7.0, 5.0)


def test_mistakes_in_a_line_do_not_hide_those_of_another_lines_route() -> None:
    document = example()
    good = {"id": "liq", "service": "liquid", "nodes": {"a": [0, 0, 0], "b": [0, 0, 0]}}
    good["legs"] = [{"id": "l", "from": "a", "to": "b"}]
    document["circuits"][0]["lines"].append(good)
    put(document, "circuits.0.lines.0.nodes.n2", "nowhere")
    assert [problem.path for problem in problems_of(document)] == [
        "circuits[0].lines[0].nodes.n2",
        "circuits[0].lines[1].legs[0]",
    ]


def test_above_the_critical_point_is_said_so() -> None:
    document = example()
    document["circuits"][0]["refrigerant"] = "R744"
    with pytest.raises(JobFileError) as caught:
        job_file.parse(as_bytes(document), "x")
    (problem,) = [one for one in caught.value.problems if one.path == "circuits[0].conditions[0].condensing_C"]
    assert "critical" in problem.found
