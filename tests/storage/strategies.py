"""Random jobs that hold together, for property tests here and elsewhere."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.domain.circuit import (
    Circuit,
    Compressor,
    CompressorKind,
    HeadPressureControl,
    HeadPressureControlKind,
    TemperatureBasis,
    Use,
)
from linesizer.domain.condition import Condition, SubcoolingAt
from linesizer.domain.equipment import Equipment, MakerLimits, ReceiverKind, Role
from linesizer.domain.job import Job, JobInfo, PracticeChoice, Review, Room, Site
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import DoubleRiser, FittingAt, Joint, Leg, Line, LineEnd, Node, RiserPart, Service
from linesizer.storage import references
from linesizer.storage.models import JobModel
from linesizer.storage.shape import shape

CHARACTERS = st.characters(exclude_categories=["Cs"])


def _known_keys() -> frozenset[str]:
    keys: set[str] = set()
    waiting = [JobModel]
    while waiting:
        here: Any = shape(waiting.pop())
        keys |= here.fields.keys()
        waiting += [*here.single.values(), *here.listed.values(), *here.by_name.values()]
    return frozenset(keys)


texts = st.text(CHARACTERS, max_size=12)
ids = st.text(st.characters(exclude_categories=["Cs", "Cc", "Z"], exclude_characters=":"), min_size=1, max_size=8)
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**30), 10**30)
    | st.floats(allow_nan=False, allow_infinity=False)
    | texts,
    lambda below: st.lists(below, max_size=5) | st.dictionaries(texts, below, max_size=3),
    max_leaves=8,
)
extras = st.dictionaries(texts.filter(lambda key: key not in _known_keys()), json_values, max_size=2).map(
    lambda unknown: tuple(unknown.items())
)


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """Return finite floats between two bounds, both included."""
    return st.floats(low, high, allow_nan=False)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return the strategy's values, or None."""
    return st.none() | strategy


def _places(rooms: tuple[Room, ...]) -> st.SearchStrategy[str]:
    return st.sampled_from(["indoor", "outdoor", *(room.id for room in rooms)])


@st.composite
def conditions(draw: st.DrawFn, *, name: str, refrigerant: str) -> Condition:
    """Return a condition that every refrigerant's table reaches; carbon dioxide is kept below its critical point."""
    condensing = draw(numbers(15.0, 24.0) if refrigerant == "R744" else numbers(25.0, 50.0))
    evaporating = draw(numbers(-20.0, 10.0))
    leaves = draw(st.booleans())
    approach = draw(numbers(0.0, 8.0))
    return Condition(
        id=name,
        capacity_W=draw(numbers(500.0, 1e6)),
        condensing_C=condensing,
        superheat_K=draw(numbers(0.0, 20.0)),
        subcooling_K=draw(numbers(0.0, 20.0)),
        name=draw(texts),
        evaporating_C=None if leaves else evaporating,
        leaving_fluid_C=evaporating if leaves else None,
        approach_K=approach if leaves else None,
        suction_heat_K=draw(numbers(0.0, 10.0)),
        subcooling_at=draw(st.sampled_from(SubcoolingAt)),
        ambient_C=draw(maybe(numbers(-40.0, 50.0))),
        bypass=draw(numbers(0.0, 0.5)),
        discharge_C=draw(maybe(numbers(60.0, 120.0))),
        isentropic_efficiency=draw(maybe(numbers(0.3, 1.0))),
        hours_per_year=draw(maybe(numbers(0.0, 8784.0))),
        extra=draw(extras),
    )


@st.composite
def part_losses(draw: st.DrawFn) -> PartLoss:
    """Return a stated loss in one of its forms."""
    form = draw(st.sampled_from(["equivalent_length_m", "k", "kv_m3_h", "drop_Pa"]))
    stated: dict[str, Any] = {form: draw(numbers(0.1, 1000.0))}
    if form == "drop_Pa":
        stated["at_kg_s"] = draw(maybe(numbers(0.01, 10.0)))
    return PartLoss(**stated, extra=draw(extras))


@st.composite
def parts(draw: st.DrawFn) -> Part:
    """Return a part of a known kind; its id is not made unique."""
    return Part(
        id=draw(ids),
        kind=draw(st.sampled_from(references.part_kinds())),
        at=draw(numbers(0.0, 1.0)),
        loss=draw(maybe(part_losses())),
        closes=draw(maybe(st.booleans())),
        relieves=draw(maybe(st.booleans())),
        extra=draw(extras),
    )


riser_parts = st.builds(
    RiserPart, kind=st.sampled_from(references.fitting_kinds()), count=st.integers(1, 5), extra=extras
)


@st.composite
def legs(draw: st.DrawFn, *, name: str, start: str, end: str, tube: str, places: st.SearchStrategy[str]) -> Leg:
    """Return a leg between two nodes, with a tube of its own, a size, a double riser or none."""
    own_tube = draw(maybe(st.sampled_from(references.tube_ids())))
    sizes = st.sampled_from(references.sizes(own_tube or tube))
    riser = draw(
        maybe(
            st.builds(
                DoubleRiser,
                small=sizes,
                large=sizes,
                seal_m=numbers(0.0, 1.0),
                small_parts=maybe(st.lists(riser_parts, max_size=2).map(tuple)),
                large_parts=maybe(st.lists(riser_parts, max_size=2).map(tuple)),
                extra=extras,
            )
        )
    )
    return Leg(
        id=name,
        start=start,
        end=end,
        # A leg with a tube of its own may not lean on a default size of the line's tube.
        size=draw(sizes) if riser is None and (own_tube or draw(st.booleans())) else None,
        double_riser=riser,
        place=draw(places),
        insulation_m=draw(numbers(0.0, 0.1)),
        insulation_W_mK=draw(maybe(numbers(0.01, 0.2))),
        joint=draw(st.sampled_from(Joint)),
        fall=draw(numbers(-0.1, 0.1)),
        tube=own_tube,
        parts=tuple(draw(st.lists(parts(), max_size=2, unique_by=lambda part: part.id))),
        extra=draw(extras),
    )


@st.composite
def lines(draw: st.DrawFn, *, name: str, equipment: tuple[str, ...], places: st.SearchStrategy[str]) -> Line:
    """Return a line whose legs go east, north or up from one source, with branches to the south-east, or turned round.

    Such a route cannot meet itself, so that it is always a sound one.
    """
    steps = draw(st.lists(st.tuples(st.sampled_from([0, 1, 2]), numbers(0.1, 30.0)), max_size=6))
    names = draw(st.lists(ids, min_size=len(steps) * 2 + 1, max_size=len(steps) * 2 + 1, unique=True))
    at = [0.0, 0.0, 0.0]
    nodes = [Node(names[0], (0.0, 0.0, 0.0))]
    pairs: list[tuple[str, str]] = []
    for index, (axis, length) in enumerate(steps):
        at[axis] += length
        nodes.append(Node(names[index + 1], (at[0], at[1], at[2])))
        pairs.append((names[index], names[index + 1]))
    for index in range(1, len(steps)):
        if draw(st.booleans()):
            east, north, up = nodes[index].at_m
            reach = draw(numbers(0.1, 10.0))
            branch = names[len(steps) + index]
            nodes.append(Node(branch, (east + reach, north - reach, up)))
            pairs.append((names[index], branch))
    if draw(st.booleans()):
        pairs = [(end, start) for start, end in pairs]
    tube = draw(st.sampled_from(references.tube_ids()))
    ends = {start for start, _ in pairs} ^ {end for _, end in pairs}
    tied = [node.id for node in nodes if node.id in ends and equipment and draw(st.booleans())]
    return Line(
        id=name,
        service=draw(st.sampled_from(Service)),
        nodes=tuple(nodes),
        legs=tuple(
            draw(legs(name=f"l{index}", start=start, end=end, tube=tube, places=places))
            for index, (start, end) in enumerate(pairs)
        ),
        tube=tube,
        default_size=draw(maybe(st.sampled_from(references.sizes(tube)))),
        listed_rating_Pa=draw(maybe(numbers(1e6, 1e7))),
        ends=tuple(LineEnd(node, draw(st.sampled_from(equipment)), draw(maybe(ids))) for node in tied),
        fittings=tuple(
            FittingAt(node.id, draw(st.sampled_from(references.fitting_kinds())), draw(extras))
            for node in nodes
            if draw(st.booleans())
        ),
        extra=draw(extras),
    )


@st.composite
def maker_limits(draw: st.DrawFn) -> MakerLimits:
    """Return a unit maker's limits, each given or not."""
    sizes = st.lists(st.sampled_from(["7/8", "1-1/8", "22x1"]), max_size=3).map(tuple)
    return MakerLimits(
        length_m=draw(maybe(numbers(1.0, 200.0))),
        lift_m=draw(maybe(numbers(0.0, 50.0))),
        drop_m=draw(maybe(numbers(0.0, 50.0))),
        charge_kg=draw(maybe(numbers(0.0, 100.0))),
        discharge_sizes=draw(sizes),
        liquid_sizes=draw(sizes),
        extra=draw(extras),
    )


@st.composite
def machines(draw: st.DrawFn, *, name: str, role: Role, places: st.SearchStrategy[str]) -> Equipment:
    """Return a piece of equipment with whatever a person may state about any role; shares are left open."""
    return Equipment(
        id=name,
        role=role,
        name=draw(texts),
        kind=draw(maybe(st.sampled_from(ReceiverKind))),
        at_m=(draw(numbers(-50.0, 50.0)), draw(numbers(-50.0, 50.0)), draw(numbers(-50.0, 50.0))),
        place=draw(places),
        holds_kg=draw(numbers(0.0, 20.0)),
        operating_kg=draw(maybe(numbers(0.0, 20.0))),
        volume_m3=draw(maybe(numbers(0.0, 1.0))),
        mean_liquid_fraction=draw(maybe(numbers(0.0, 1.0))),
        operating_fill=draw(maybe(numbers(0.0, 1.0))),
        design_td_K=draw(maybe(numbers(1.0, 30.0))),
        drop_Pa=draw(maybe(numbers(0.0, 1e5))),
        at_kg_s=draw(maybe(numbers(0.01, 10.0))),
        connections=tuple(draw(st.dictionaries(texts, st.sampled_from(["7/8", "22x1"]), max_size=2)).items()),
        maker_limits=draw(maybe(maker_limits())),
        extra=draw(extras),
    )


@st.composite
def blends(draw: st.DrawFn) -> Blend:
    """Return a blend of somebody's own, which has no table."""
    names = draw(st.lists(st.sampled_from(references.components()), min_size=1, max_size=4, unique=True))
    shares = [draw(numbers(0.1, 1.0)) for _ in names]
    return Blend(
        tuple((name, share / sum(shares)) for name, share in zip(names, shares, strict=True)),
        draw(st.sampled_from(BlendBasis)),
        draw(maybe(st.sampled_from(["A1", "A2L", "B2"]))),
        draw(maybe(numbers(0.0, 5000.0))),
        draw(maybe(numbers(0.01, 1.0))),
        draw(extras),
    )


@st.composite
def circuits(draw: st.DrawFn, *, name: str, places: st.SearchStrategy[str]) -> Circuit:
    """Return a circuit with one to three conditions and up to two lines."""
    own = draw(maybe(blends()))
    refrigerant = draw(st.sampled_from(references.refrigerants() if own is None else ("Own-1", "mix(2)")))
    condition_ids = draw(st.lists(ids, min_size=1, max_size=3, unique=True))
    machine_ids = draw(st.lists(ids, max_size=3, unique=True))
    line_ids = draw(st.lists(ids, max_size=2, unique=True))
    least = numbers(15.0, 24.0) if refrigerant == "R744" else numbers(20.0, 30.0)
    return Circuit(
        id=name,
        refrigerant=refrigerant,
        conditions=tuple(draw(conditions(name=one, refrigerant=refrigerant)) for one in condition_ids),
        name=draw(texts),
        use=draw(st.sampled_from(Use)),
        temperature_basis=draw(st.sampled_from(TemperatureBasis)),
        oil=draw(maybe(texts)),
        film_density_kg_m3=draw(maybe(numbers(700.0, 1100.0))),
        compressor=Compressor(
            kind=draw(st.sampled_from(CompressorKind)),
            isentropic_efficiency=draw(numbers(0.3, 1.0)),
            drive_efficiency=draw(numbers(0.5, 1.0)),
            oil_separator=draw(st.booleans()),
            extra=draw(extras),
        ),
        charge_condition=draw(maybe(st.sampled_from(condition_ids))),
        heat_exchange=draw(st.booleans()),
        maximum_pressure_Pa=draw(maybe(numbers(1e6, 1e7))),
        head_pressure_control=HeadPressureControl(
            kind=draw(st.sampled_from(HeadPressureControlKind)),
            minimum_condensing_C=draw(maybe(least)),
            differential_Pa=draw(maybe(numbers(0.0, 2e5))),
            extra=draw(extras),
        ),
        equipment=tuple(
            draw(machines(name=one, role=draw(st.sampled_from(Role)), places=places)) for one in machine_ids
        ),
        lines=tuple(draw(lines(name=one, equipment=tuple(machine_ids), places=places)) for one in line_ids),
        blend=own,
        extra=draw(extras),
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Return a job that can be saved and opened again, every key filled at one time, unknown keys at every level."""
    room_ids = draw(st.lists(ids.filter(lambda name: name not in ("indoor", "outdoor")), max_size=2, unique=True))
    rooms = tuple(
        Room(
            name,
            draw(texts),
            draw(maybe(numbers(1.0, 1e4))),
            draw(maybe(numbers(-40.0, 60.0))),
            draw(st.booleans()),
            draw(extras),
        )
        for name in room_ids
    )
    circuit_ids = draw(st.lists(ids, min_size=1, max_size=2, unique=True))
    return Job(
        circuits=tuple(draw(circuits(name=name, places=_places(rooms))) for name in circuit_ids),
        info=JobInfo(
            title=draw(texts),
            number=draw(texts),
            prepared_by=draw(texts),
            revision=draw(texts),
            date=draw(st.just("") | st.dates().map(str)),
            notes=draw(texts),
            extra=draw(extras),
        ),
        site=Site(
            altitude_m=draw(numbers(-400.0, 4000.0)),
            summer_ambient_C=draw(maybe(numbers(10.0, 55.0))),
            winter_ambient_C=draw(maybe(numbers(-60.0, 20.0))),
            indoor_ambient_C=draw(maybe(numbers(0.0, 50.0))),
            rooms=rooms,
            electricity_price_kWh=draw(maybe(numbers(0.0, 10.0))),
            extra=draw(extras),
        ),
        practice=PracticeChoice(
            overrides=tuple(
                draw(
                    st.fixed_dictionaries(
                        {}, optional={"discharge_penalty_K": numbers(0.1, 5.0), "mach_limit": numbers(0.1, 0.4)}
                    )
                ).items()
            ),
            extra=draw(extras),
        ),
        record=tuple(draw(st.lists(json_values, max_size=2))),
        review=Review(
            comments=tuple(draw(st.lists(json_values, max_size=2))),
            waivers=tuple(draw(st.lists(json_values, max_size=2))),
            disposition=draw(json_values),
            extra=draw(extras),
        ),
        extra=draw(extras),
    )
