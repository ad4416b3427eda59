"""The known keys of the job file with their kinds and ranges, as pydantic models.

Nothing outside this package sees these classes: ``reading`` turns them into the domain's frozen values.  What one value
alone can tell is checked here; what needs a second one (ids, references, sums) is checked in ``consistency``.

The ranges catch a slipped unit or a typing error.  They are wider than what the solver accepts, which judges by the
refrigerant's own table.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

from linesizer.domain.blend import BlendBasis
from linesizer.domain.circuit import CompressorKind, HeadPressureControlKind, TemperatureBasis, Use
from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import ReceiverKind, Role
from linesizer.domain.route import Joint, Service

FORMAT = "remote-condenser-job"
VERSION = 1

_NO_BLANK_ENDS = r"^[^\s\x00-\x1f\x7f]([^\x00-\x1f\x7f]*[^\s\x00-\x1f\x7f])?$"
_NO_COLON_EITHER = r"^[^\s\x00-\x1f\x7f:]([^\x00-\x1f\x7f:]*[^\s\x00-\x1f\x7f:])?$"

Id: TypeAlias = Annotated[
    str,
    Field(
        min_length=1,
        max_length=64,
        pattern=_NO_BLANK_ENDS,
        description="a text of 1 to 64 characters without blanks at its ends",
    ),
]

# A colon in an equipment's id could not be told from the one before a port in ``ends``.
EquipmentId: TypeAlias = Annotated[
    str,
    Field(
        min_length=1,
        max_length=64,
        pattern=_NO_COLON_EITHER,
        description="a text of 1 to 64 characters without a colon and without blanks at its ends",
    ),
]

Word: TypeAlias = Annotated[
    str, Field(min_length=1, max_length=200, description="a text in quotation marks, 1 to 200 characters")
]
Coordinate: TypeAlias = Annotated[float, Field(ge=-10000, le=10000)]
# The number of items is fixed; lists are lenient here because JSON has no tuples.
Point: TypeAlias = Annotated[tuple[Coordinate, Coordinate, Coordinate], Field(strict=False)]

COLDEST_C, HOTTEST_C = -120, 150
Temperature: TypeAlias = Annotated[float, Field(ge=COLDEST_C, le=HOTTEST_C)]
# The coldest and hottest air measured on earth: -89 and 57 C (World Meteorological Organization archive, from memory).
AirTemperature: TypeAlias = Annotated[float, Field(ge=-90, le=90)]
Superheat: TypeAlias = Annotated[float, Field(ge=0, le=100)]
Efficiency: TypeAlias = Annotated[float, Field(gt=0, le=1)]
Fraction: TypeAlias = Annotated[float, Field(ge=0, le=1)]
Mass: TypeAlias = Annotated[float, Field(ge=0, le=100000)]
Flow: TypeAlias = Annotated[float, Field(gt=0, le=1000)]
Drop: TypeAlias = Annotated[float, Field(ge=0, le=5e6)]

ServiceWord: TypeAlias = Annotated[Service, Field(strict=False)]
RoleWord: TypeAlias = Annotated[Role, Field(strict=False)]
JointWord: TypeAlias = Annotated[Joint, Field(strict=False)]
UseWord: TypeAlias = Annotated[Use, Field(strict=False)]
BasisWord: TypeAlias = Annotated[TemperatureBasis, Field(strict=False)]
CompressorWord: TypeAlias = Annotated[CompressorKind, Field(strict=False)]
ControlWord: TypeAlias = Annotated[HeadPressureControlKind, Field(strict=False)]
SubcoolingWord: TypeAlias = Annotated[SubcoolingAt, Field(strict=False)]
BlendBasisWord: TypeAlias = Annotated[BlendBasis, Field(strict=False)]
ReceiverWord: TypeAlias = Annotated[ReceiverKind, Field(strict=False)]


class Model(BaseModel):
    """One object of the job file; keys that it does not know are kept beside those that it does."""

    model_config = ConfigDict(extra="allow", strict=True, allow_inf_nan=False, hide_input_in_errors=True)


class JobInfoModel(Model):
    """What the title block says."""

    title: str = ""
    number: str = ""
    prepared_by: str = ""
    revision: str = ""
    date: Annotated[
        str, Field(pattern=r"^([0-9]{4}-[0-9]{2}-[0-9]{2})?$", description='a date such as "2026-11-24", or ""')
    ] = ""
    notes: str = ""


class RoomModel(Model):
    """A room that a line passes or equipment stands in."""

    id: Id
    name: str = ""
    volume_m3: Annotated[float, Field(gt=0, le=1e7)] | None = None
    ambient_C: AirTemperature | None = None
    occupied: bool = False


class SiteModel(Model):
    """The place."""

    altitude_m: Annotated[float, Field(ge=-500, le=9000)] = 0.0
    summer_ambient_C: AirTemperature | None = None
    winter_ambient_C: AirTemperature | None = None
    indoor_ambient_C: AirTemperature | None = None
    rooms: list[RoomModel] = []
    electricity_price_kWh: Annotated[float, Field(ge=0, le=1e6)] | None = None


class PracticeModel(Model):
    """Which practice set judges the job, and the job's own values for single rules."""

    set: Word = "general"
    overrides: dict[str, Any] = {}


class CompressorModel(Model):
    """The compressor."""

    kind: CompressorWord = CompressorKind.SCROLL
    isentropic_efficiency: Efficiency = 0.68
    drive_efficiency: Efficiency = 0.92
    oil_separator: bool = False


class ConditionModel(Model):
    """One running condition; states ``evaporating_C``, or ``leaving_fluid_C`` with ``approach_K``."""

    id: Id
    name: str = ""
    capacity_W: Annotated[float, Field(gt=0, le=1e8, description="the net cooling")]
    evaporating_C: Temperature | None = None
    leaving_fluid_C: Temperature | None = None
    approach_K: Annotated[float, Field(ge=0, le=100)] | None = None
    condensing_C: Temperature
    superheat_K: Superheat
    suction_heat_K: Superheat = 0.0
    subcooling_K: Annotated[float, Field(ge=0, le=60)]
    subcooling_at: SubcoolingWord = SubcoolingAt.CONDENSER
    ambient_C: AirTemperature | None = None
    bypass: Annotated[
        float, Field(ge=0, lt=1, description="the part of the compressor's flow that returns as hot gas")
    ] = 0.0
    discharge_C: Annotated[float, Field(ge=-50, le=300)] | None = None
    isentropic_efficiency: Efficiency | None = None
    hours_per_year: Annotated[float, Field(ge=0, le=8784)] | None = None


class HeadPressureControlModel(Model):
    """How condensing pressure is held up in the cold."""

    kind: ControlWord = HeadPressureControlKind.NONE
    minimum_condensing_C: Temperature | None = None
    differential_Pa: Drop | None = None


class MakerLimitsModel(Model):
    """What a unit's maker allows for the lines to its condenser."""

    length_m: Annotated[float, Field(gt=0, le=10000)] | None = None
    lift_m: Annotated[float, Field(ge=0, le=10000)] | None = None
    drop_m: Annotated[float, Field(ge=0, le=10000)] | None = None
    charge_kg: Mass | None = None
    discharge_sizes: list[Word] = []
    liquid_sizes: list[Word] = []


class EquipmentModel(Model):
    """What the lines run between."""

    id: EquipmentId
    role: RoleWord
    kind: ReceiverWord | None = None
    name: str = ""
    at_m: Point = (0.0, 0.0, 0.0)
    place: Word = "indoor"
    holds_kg: Mass = 0.0
    operating_kg: Mass | None = None
    volume_m3: Annotated[float, Field(ge=0, le=1000)] | None = None
    mean_liquid_fraction: Fraction | None = None
    operating_fill: Fraction | None = None
    design_td_K: Annotated[float, Field(gt=0, le=100)] | None = None
    drop_Pa: Drop | None = None
    at_kg_s: Flow | None = None
    share: Annotated[float, Field(gt=0, le=1)] | None = None
    connections: dict[str, Word] = {}
    maker_limits: MakerLimitsModel | None = None


class PartLossModel(Model):
    """The loss that the person states for one part, in one of its forms."""

    equivalent_length_m: Annotated[float, Field(ge=0, le=10000)] | None = None
    k: Annotated[float, Field(ge=0, le=1e6)] | None = None
    kv_m3_h: Annotated[float, Field(gt=0, le=1e5)] | None = None
    drop_Pa: Drop | None = None
    at_kg_s: Flow | None = None


class PartModel(Model):
    """A component that stands in a leg."""

    id: Id
    kind: Word
    at: Fraction = 0.5
    loss: PartLossModel | None = None
    closes: bool | None = None
    relieves: bool | None = None


class RiserPartModel(Model):
    """A bend of one tube of a double riser."""

    kind: Word
    count: Annotated[int, Field(ge=1, le=20)] = 1


class DoubleRiserModel(Model):
    """Two tubes side by side up one leg."""

    small: Word
    large: Word
    seal_m: Annotated[float, Field(ge=0, le=10)]
    small_parts: list[RiserPartModel] | None = None
    large_parts: list[RiserPartModel] | None = None


class LegModel(Model):
    """A straight run between two nodes in the direction of flow."""

    id: Id
    start: Word = Field(alias="from")
    end: Word = Field(alias="to")
    size: Word | None = None
    double_riser: DoubleRiserModel | None = None
    place: Word = "indoor"
    fall: Annotated[float, Field(ge=-0.5, le=0.5, description="metres down a metre in the direction of flow")] = 0.0
    insulation_m: Annotated[float, Field(ge=0, le=1)] = 0.0
    insulation_W_mK: Annotated[float, Field(gt=0, le=5)] | None = None
    joint: JointWord = Joint.BRAZED
    tube: Word | None = None
    parts: list[PartModel] = []


class FittingModel(Model):
    """What stands at a node instead of the elbow that the route implies."""

    kind: Word


class LineModel(Model):
    """A tree of legs."""

    id: Id
    service: ServiceWord
    tube: Word = "ASTM-B280-drawn"
    default_size: Word | None = None
    listed_rating_Pa: Annotated[float, Field(ge=1e5, le=1e8, description="gauge")] | None = None
    nodes: dict[Id, Point]
    ends: dict[str, Word] = {}
    legs: list[LegModel]
    fittings: dict[str, FittingModel] = {}


class BlendModel(Model):
    """What a blend of somebody's own is made of, and what is stated about it."""

    basis: BlendBasisWord
    composition: Annotated[
        dict[str, Annotated[float, Field(gt=0, le=1)]],
        Field(min_length=1, description="components with their fractions, which sum to 1"),
    ]
    safety_group: Annotated[str, Field(pattern=r"^[AB](1|2L|2|3)$", description='a group such as "A2L"')] | None = None
    gwp: Annotated[float, Field(ge=0, le=50000)] | None = None
    rcl_kg_m3: Annotated[float, Field(gt=0, le=10)] | None = None


class CircuitModel(Model):
    """One refrigerant circuit."""

    id: Id
    name: str = ""
    refrigerant: Word
    use: UseWord = Use.PROCESS
    temperature_basis: BasisWord = TemperatureBasis.DEW
    oil: str | None = None
    film_density_kg_m3: Annotated[float, Field(gt=0, le=2000)] | None = None
    compressor: CompressorModel = CompressorModel()
    conditions: Annotated[list[ConditionModel], Field(min_length=1)]
    charge_condition: Word | None = None
    heat_exchange: bool = False
    maximum_pressure_Pa: Annotated[float, Field(ge=1e5, le=2e7, description="absolute")] | None = None
    head_pressure_control: HeadPressureControlModel = HeadPressureControlModel()
    equipment: list[EquipmentModel] = []
    lines: list[LineModel] = []
    blend: BlendModel | None = None


class ReviewModel(Model):
    """Comments, waivers and the disposition of a review."""

    comments: list[Any] = []
    waivers: list[Any] = []
    disposition: Any = None


class JobModel(Model):
    """A job: who, where, by which practice, and its circuits."""

    format: Literal["remote-condenser-job"]
    version: Literal[1]
    job: JobInfoModel = JobInfoModel()
    site: SiteModel = SiteModel()
    practice: PracticeModel = PracticeModel()
    circuits: Annotated[list[CircuitModel], Field(min_length=1)]
    record: list[Any] = []
    review: ReviewModel = ReviewModel()
